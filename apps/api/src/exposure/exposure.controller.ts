import { Controller, Inject } from '@nestjs/common';
import { exposureRoutes, type InputOf } from '@bellround/contracts';
import { listExposure, showExposure, showRiskModel, whatIfExposure, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class ExposureController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(exposureRoutes.listExposure)
  list(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.listExposure>) {
    return this.door.perform(listExposure, who, input);
  }

  @Handles(exposureRoutes.showExposure)
  show(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.showExposure>) {
    return this.door.perform(showExposure, who, input);
  }

  @Handles(exposureRoutes.whatIfExposure)
  whatIf(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.whatIfExposure>) {
    return this.door.perform(whatIfExposure, who, input);
  }

  @Handles(exposureRoutes.showRiskModel)
  model(@Asker() who: Who) {
    return this.door.perform(showRiskModel, who, {});
  }
}
