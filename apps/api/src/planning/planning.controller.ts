import { Controller, Inject } from '@nestjs/common';
import { planningRoutes, type InputOf } from '@bellround/contracts';
import {
  agreeDate, askWeek, bestPlacesFor, cancelPlan, capacityFacts, comparePlansOf, copyPlan, dropPlan, endDayTravel, keepAnswer, listLooseEnds, listPublications, moveStop, pinStop, placeUrgent, publishPlan,
  rankUrgent, showSqueeze, showWeek, startPlan, whyVisit, type Who,
} from '@bellround/operations';
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
    return moveStop(this.door, who, { ...input, preview: true });
  }

  @Handles(planningRoutes.moveStop)
  move(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.moveStop>) {
    return moveStop(this.door, who, { ...input, preview: false });
  }

  @Handles(planningRoutes.pinStop)
  pin(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.pinStop>) {
    return this.door.perform(pinStop, who, input);
  }

  @Handles(planningRoutes.publishPlan)
  publish(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.publishPlan>) {
    return publishPlan(this.door, who, input);
  }

  @Handles(planningRoutes.bestPlacesFor)
  places(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.bestPlacesFor>) {
    return bestPlacesFor(this.door, who, input);
  }

  @Handles(planningRoutes.listLooseEnds)
  looseEnds(@Asker() who: Who) {
    return this.door.perform(listLooseEnds, who, {});
  }

  @Handles(planningRoutes.copyPlan)
  copy(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.copyPlan>) {
    return this.door.perform(copyPlan, who, input);
  }

  @Handles(planningRoutes.dropPlan)
  drop(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.dropPlan>) {
    return this.door.perform(dropPlan, who, input);
  }

  @Handles(planningRoutes.comparePlans)
  compare(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.comparePlans>) {
    return comparePlansOf(this.door, who, input);
  }

  @Handles(planningRoutes.askWeek)
  ask(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.askWeek>) {
    return askWeek(this.door, who, input);
  }

  @Handles(planningRoutes.keepAnswer)
  keep(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.keepAnswer>) {
    return keepAnswer(this.door, who, input);
  }

  @Handles(planningRoutes.endDayTravel)
  endTravel(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.endDayTravel>) {
    return this.door.perform(endDayTravel, who, input);
  }

  @Handles(planningRoutes.whyVisit)
  why(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.whyVisit>) {
    return whyVisit(this.door, who, input);
  }

  @Handles(planningRoutes.rankUrgent)
  rank(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.rankUrgent>) {
    return rankUrgent(this.door, who, input);
  }

  @Handles(planningRoutes.placeUrgent)
  placeIt(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.placeUrgent>) {
    return placeUrgent(this.door, who, input);
  }

  @Handles(planningRoutes.listPublications)
  publications(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.listPublications>) {
    return this.door.perform(listPublications, who, input);
  }

  @Handles(planningRoutes.agreeDate)
  agree(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.agreeDate>) {
    return this.door.perform(agreeDate, who, input);
  }

  @Handles(planningRoutes.showSqueeze)
  squeeze(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.showSqueeze>) {
    return showSqueeze(this.door, who, input);
  }

  @Handles(planningRoutes.capacityFacts)
  capacity(@Asker() who: Who, @Input() input: InputOf<typeof planningRoutes.capacityFacts>) {
    return this.door.perform(capacityFacts, who, input);
  }
}
