import { Controller, Inject } from '@nestjs/common';
import { programmesRoutes, type InputOf } from '@bellround/contracts';
import { adoptProgramme, applyProgramme, libraryProgrammes, listProgrammes, programmeSystems, retireProgramme, saveProgramme, showDuty, showProgramme, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class ProgrammesController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(programmesRoutes.programmeLibrary)
  programmeLibrary(@Asker() who: Who) {
    return this.door.perform(libraryProgrammes, who, {});
  }

  @Handles(programmesRoutes.listProgrammes)
  listProgrammes(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.listProgrammes>) {
    return this.door.perform(listProgrammes, who, input);
  }

  @Handles(programmesRoutes.showProgramme)
  showProgramme(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.showProgramme>) {
    return this.door.perform(showProgramme, who, input);
  }

  @Handles(programmesRoutes.adoptProgramme)
  adoptProgramme(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.adoptProgramme>) {
    return this.door.perform(adoptProgramme, who, input);
  }

  @Handles(programmesRoutes.saveProgramme)
  saveProgramme(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.saveProgramme>) {
    return this.door.perform(saveProgramme, who, input);
  }

  @Handles(programmesRoutes.applyProgramme)
  applyProgramme(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.applyProgramme>) {
    return this.door.perform.bulk(applyProgramme, who, input);
  }

  @Handles(programmesRoutes.retireProgramme)
  retireProgramme(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.retireProgramme>) {
    return this.door.perform.bulk(retireProgramme, who, input);
  }

  @Handles(programmesRoutes.programmeSystems)
  programmeSystems(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.programmeSystems>) {
    return this.door.perform(programmeSystems, who, input);
  }

  @Handles(programmesRoutes.showDuty)
  showDuty(@Asker() who: Who, @Input() input: InputOf<typeof programmesRoutes.showDuty>) {
    return this.door.perform(showDuty, who, input);
  }
}
