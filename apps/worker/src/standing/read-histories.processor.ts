import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { nextSitesToRead, readHistory } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

const SITES_AT_ONCE = 200;

/** Each site is an act of its own: one that fails leaves the others read, and the job tries again what is still open. */
@Injectable()
export class ReadHistoriesProcessor implements Processor<typeof JOBS.readHistories.payload> {
  readonly job = JOBS.readHistories;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    const { perform, houseOf } = this.workshop;
    const house = houseOf(companyId);
    const failed: unknown[] = [];
    for (let after: string | null = null; ;) {
      const batch: { siteIds: readonly string[]; next: string | null } = await perform(nextSitesToRead, house, { afterSiteId: after, limit: SITES_AT_ONCE });
      for (const siteId of batch.siteIds) {
        try {
          await perform(readHistory, house, { siteId, openOnly: true });
        } catch (error) {
          failed.push(error);
        }
      }
      if (batch.next === null) break;
      after = batch.next;
    }
    if (failed.length > 0) throw new AggregateError(failed, `${failed.length} sites could not be read`);
  }
}
