import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { nightlySweep, renewStanding, watchHolds, watchLeaving, weeklyOverdue } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

@Injectable()
export class NightlySweepProcessor implements Processor<typeof JOBS.nightlySweep.payload> {
  readonly job = JOBS.nightlySweep;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId, day }: { companyId: string; day: string }): Promise<void> {
    const { perform, houseOf, stopping } = this.workshop;
    const house = houseOf(companyId);
    // First the windows that the calendar turned over; then what is told of them.
    await renewStanding(perform, house, { how: 'turned', stop: stopping });
    await perform(nightlySweep, house, { day });
  }
}

@Injectable()
export class WeeklyOverdueProcessor implements Processor<typeof JOBS.weeklyOverdue.payload> {
  readonly job = JOBS.weeklyOverdue;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId, day }: { companyId: string; day: string }): Promise<void> {
    await this.workshop.perform(weeklyOverdue, this.workshop.houseOf(companyId), { day });
  }
}

@Injectable()
export class WatchHoldsProcessor implements Processor<typeof JOBS.watchHolds.payload> {
  readonly job = JOBS.watchHolds;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    await this.workshop.perform(watchHolds, this.workshop.houseOf(companyId), {});
    await this.workshop.perform(watchLeaving, this.workshop.houseOf(companyId), {});
  }
}
