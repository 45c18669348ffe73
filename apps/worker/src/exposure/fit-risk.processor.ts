import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { fitCompany, scoreWholeCompany } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

/** Nightly: fits the rates to the history, judges the new version, then scores every site by the one in use. */
@Injectable()
export class FitRiskProcessor implements Processor<typeof JOBS.fitRisk.payload> {
  readonly job = JOBS.fitRisk;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    const house = this.workshop.houseOf(companyId);
    await fitCompany(this.workshop.perform, house);
    await scoreWholeCompany(this.workshop.perform, house);
  }
}
