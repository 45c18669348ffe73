import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { fitCompany, refreshSiteStanding, renewStanding, scoreOneSite, scoreWholeCompany, updateLaidProgrammes } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

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

/** What was fitted or removed, then the whole company's windows, stretch by stretch, each an act of its own; then rates and exposure. */
@Injectable()
export class FleetRefreshProcessor implements Processor<typeof JOBS.fleetRefresh.payload> {
  readonly job = JOBS.fleetRefresh;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    const { perform, houseOf, stopping } = this.workshop;
    const house = houseOf(companyId);
    await perform.bulk(updateLaidProgrammes, house, {});
    await renewStanding(perform, house, { stop: stopping });
    await fitCompany(perform, house);
    await scoreWholeCompany(perform, house);
  }
}
