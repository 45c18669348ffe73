import { Controller, Inject } from '@nestjs/common';
import { labelsRoutes, type InputOf } from '@bellround/contracts';
import { labelPlace, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class LabelsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(labelsRoutes.labelPlace)
  place(@Asker() who: Who, @Input() input: InputOf<typeof labelsRoutes.labelPlace>) {
    return this.door.perform(labelPlace, who, input);
  }
}
