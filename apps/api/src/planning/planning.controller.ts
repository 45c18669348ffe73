import { Controller, Inject } from '@nestjs/common';
import { planningRoutes, type InputOf } from '@bellround/contracts';
import { bestPlacesFor, cancelPlan, listLooseEnds, moveStop, pinStop, publishPlan, showWeek, startPlan, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class PlanningController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(planningRoutes.showWeek)
  week(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.showWeek>) {
    return this.door.perform(showWeek, who, input);
  }

  @Handles(planningRoutes.startPlan)
  start(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.startPlan>) {
    return this.door.perform(startPlan, who, input);
  }

  @Handles(planningRoutes.cancelPlan)
  cancel(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.cancelPlan>) {
    return this.door.perform(cancelPlan, who, input);
  }

  @Handles(planningRoutes.previewMove)
  preview(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.previewMove>) {
    return this.door.perform(moveStop, who, { ...input, preview: true });
  }

  @Handles(planningRoutes.moveStop)
  move(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.moveStop>) {
    return this.door.perform(moveStop, who, { ...input, preview: false });
  }

  @Handles(planningRoutes.pinStop)
  pin(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.pinStop>) {
    return this.door.perform(pinStop, who, input);
  }

  @Handles(planningRoutes.publishPlan)
  publish(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.publishPlan>) {
    return this.door.perform(publishPlan, who, input);
  }

  @Handles(planningRoutes.bestPlacesFor)
  places(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.bestPlacesFor>) {
    return this.door.perform(bestPlacesFor, who, input);
  }

  @Handles(planningRoutes.listLooseEnds)
  looseEnds(@Asker() who: Who) {
    return this.door.perform(listLooseEnds, who, {});
  }
}
