import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { settleDelayed } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

@Injectable()
export class SettleDelayedProcessor implements Processor<typeof JOBS.settleDelayed.payload> {
  readonly job = JOBS.settleDelayed;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    await this.workshop.perform(settleDelayed, this.workshop.houseOf(companyId), {});
  }
}
