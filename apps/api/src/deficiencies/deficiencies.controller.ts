import { Controller, Inject } from '@nestjs/common';
import { deficienciesRoutes, type InputOf } from '@bellround/contracts';
import { listDeficiencies, showDeficiency, acceptDeficiency, regradeDeficiency, toldOf, partsNeeded, planRetest, interimMeasure, photoOfDeficiency, photoOfCheck, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class DeficienciesController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(deficienciesRoutes.listDeficiencies)
  listDeficiencies(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.listDeficiencies>) {
    return this.door.perform(listDeficiencies, who, input);
  }

  @Handles(deficienciesRoutes.showDeficiency)
  showDeficiency(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.showDeficiency>) {
    return this.door.perform(showDeficiency, who, input);
  }

  @Handles(deficienciesRoutes.acceptDeficiency)
  acceptDeficiency(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.acceptDeficiency>) {
    return this.door.perform(acceptDeficiency, who, input);
  }

  @Handles(deficienciesRoutes.regradeDeficiency)
  regradeDeficiency(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.regradeDeficiency>) {
    return this.door.perform(regradeDeficiency, who, input);
  }

  @Handles(deficienciesRoutes.toldOf)
  toldOf(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.toldOf>) {
    return this.door.perform(toldOf, who, input);
  }

  @Handles(deficienciesRoutes.partsNeeded)
  partsNeeded(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.partsNeeded>) {
    return this.door.perform(partsNeeded, who, input);
  }

  @Handles(deficienciesRoutes.planRetest)
  planRetest(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.planRetest>) {
    return this.door.perform(planRetest, who, input);
  }

  @Handles(deficienciesRoutes.interimMeasure)
  interimMeasure(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.interimMeasure>) {
    return this.door.perform(interimMeasure, who, input);
  }

  @Handles(deficienciesRoutes.photoOfDeficiency)
  photoOfDeficiency(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.photoOfDeficiency>) {
    return this.door.perform(photoOfDeficiency, who, input);
  }

  @Handles(deficienciesRoutes.photoOfCheck)
  photoOfCheck(@Asker() who: Who, @Input() input: InputOf<typeof deficienciesRoutes.photoOfCheck>) {
    return this.door.perform(photoOfCheck, who, input);
  }
}
