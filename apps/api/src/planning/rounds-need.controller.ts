import { Controller, Inject } from '@nestjs/common';
import { roundsNeedRoutes, type InputOf } from '@bellround/contracts';
import { editSiteNeeds, editVisit, forgetRoadTimes, handKey, keepKey, keepPermit, keepVan, removePermit, savePlanningRules, seeRound, showPlanningRules, showSiteNeeds, showVan, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class RoundsNeedController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(roundsNeedRoutes.siteNeeds)
  siteNeeds(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.siteNeeds>) {
    return this.door.perform(showSiteNeeds, who, input);
  }

  @Handles(roundsNeedRoutes.editSiteNeeds)
  editSiteNeeds(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.editSiteNeeds>) {
    return this.door.perform(editSiteNeeds, who, input);
  }

  @Handles(roundsNeedRoutes.keepPermit)
  keepPermit(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.keepPermit>) {
    return this.door.perform(keepPermit, who, input);
  }

  @Handles(roundsNeedRoutes.removePermit)
  removePermit(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.removePermit>) {
    return this.door.perform(removePermit, who, input);
  }

  @Handles(roundsNeedRoutes.keepKey)
  keepKey(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.keepKey>) {
    return this.door.perform(keepKey, who, input);
  }

  @Handles(roundsNeedRoutes.handKey)
  handKey(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.handKey>) {
    return this.door.perform(handKey, who, input);
  }

  @Handles(roundsNeedRoutes.editVisit)
  editVisit(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.editVisit>) {
    return this.door.perform(editVisit, who, input);
  }

  @Handles(roundsNeedRoutes.van)
  van(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.van>) {
    return this.door.perform(showVan, who, input);
  }

  @Handles(roundsNeedRoutes.keepVan)
  keepVan(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.keepVan>) {
    return this.door.perform(keepVan, who, input);
  }

  @Handles(roundsNeedRoutes.planningRules)
  planningRules(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.planningRules>) {
    return this.door.perform(showPlanningRules, who, input);
  }

  @Handles(roundsNeedRoutes.savePlanningRules)
  savePlanningRules(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.savePlanningRules>) {
    return this.door.perform(savePlanningRules, who, input);
  }

  @Handles(roundsNeedRoutes.forgetRoadTimes)
  forgetRoadTimes(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.forgetRoadTimes>) {
    return this.door.perform(forgetRoadTimes, who, input);
  }

  @Handles(roundsNeedRoutes.seeRound)
  seeRound(@Asker() who: Who, @Input() input: InputOf<typeof roundsNeedRoutes.seeRound>) {
    return this.door.perform(seeRound, who, input);
  }
}
