import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { fitRisk, scoreCompany } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

/** Nightly: fits the rates to the history, then scores every site, batch by batch. */
@Injectable()
export class FitRiskProcessor implements Processor<typeof JOBS.fitRisk.payload> {
  readonly job = JOBS.fitRisk;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    const house = this.workshop.houseOf(companyId);
    await this.workshop.perform(fitRisk, house, {});
    for (let after: string | null = null; ;) {
      const batch: { scored: number; next: string | null } = await this.workshop.perform(scoreCompany, house, { afterSiteId: after });
      if (batch.next === null) return;
      after = batch.next;
    }
  }
}
