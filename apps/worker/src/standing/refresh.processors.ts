import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { fitCompany, refreshCompanyStanding, refreshSiteStanding, scoreOneSite, scoreWholeCompany, updateLaidProgrammes } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

const SITES_PER_ACT = 500;

/** One site's windows, credits and exposure, after its facts changed. */
@Injectable()
export class StandingRefreshProcessor implements Processor<typeof JOBS.standingRefresh.payload> {
  readonly job = JOBS.standingRefresh;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId, siteId }: { companyId: string; siteId: string }): Promise<void> {
    const house = this.workshop.houseOf(companyId);
    await this.workshop.perform(refreshSiteStanding, house, { siteId });
    await this.workshop.perform(scoreOneSite, house, { siteId });
  }
}

/** What was fitted or removed, then the whole company's windows, batch by batch, each batch an act of its own; then rates and exposure. */
@Injectable()
export class FleetRefreshProcessor implements Processor<typeof JOBS.fleetRefresh.payload> {
  readonly job = JOBS.fleetRefresh;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    const { perform, houseOf } = this.workshop;
    const house = houseOf(companyId);
    await perform.bulk(updateLaidProgrammes, house, {});
    for (let after: string | null = null; ;) {
      const batch: { next: string | null } = await perform(refreshCompanyStanding, house, { afterSiteId: after, limit: SITES_PER_ACT });
      if (batch.next === null) break;
      after = batch.next;
    }
    await fitCompany(perform, house);
    await scoreWholeCompany(perform, house);
  }
}
