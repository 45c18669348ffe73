import { Controller, Inject } from '@nestjs/common';
import { peopleRoutes, type InputOf } from '@bellround/contracts';
import { addAbsence, editTechnician, keepLicence, listTechnicians, removeAbsence, showTechnician, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class PeopleController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(peopleRoutes.listTechnicians)
  technicians(@Asker() who: Who, @Input() input: InputOf<typeof peopleRoutes.listTechnicians>) {
    return this.door.perform(listTechnicians, who, input);
  }

  @Handles(peopleRoutes.technician)
  technician(@Asker() who: Who, @Input() input: InputOf<typeof peopleRoutes.technician>) {
    return this.door.perform(showTechnician, who, input);
  }

  @Handles(peopleRoutes.editTechnician)
  edit(@Asker() who: Who, @Input() input: InputOf<typeof peopleRoutes.editTechnician>) {
    return this.door.perform(editTechnician, who, input);
  }

  @Handles(peopleRoutes.keepLicence)
  keepLicence(@Asker() who: Who, @Input() input: InputOf<typeof peopleRoutes.keepLicence>) {
    return this.door.perform(keepLicence, who, input);
  }

  @Handles(peopleRoutes.addAbsence)
  addAbsence(@Asker() who: Who, @Input() input: InputOf<typeof peopleRoutes.addAbsence>) {
    return this.door.perform(addAbsence, who, input);
  }

  @Handles(peopleRoutes.removeAbsence)
  removeAbsence(@Asker() who: Who, @Input() input: InputOf<typeof peopleRoutes.removeAbsence>) {
    return this.door.perform(removeAbsence, who, input);
  }
}
