import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { watchDeficiencies } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

@Injectable()
export class WatchDeficienciesProcessor implements Processor<typeof JOBS.watchDeficiencies.payload> {
  readonly job = JOBS.watchDeficiencies;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    await this.workshop.perform(watchDeficiencies, this.workshop.houseOf(companyId), {});
  }
}
