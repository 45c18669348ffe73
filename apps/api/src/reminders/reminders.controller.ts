import { Controller, Inject } from '@nestjs/common';
import { remindersRoutes, type InputOf } from '@bellround/contracts';
import { lastSweep, listMessages, sendAgain, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class RemindersController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(remindersRoutes.listMessages)
  list(@Asker() who: Who, @Input() input: InputOf<typeof remindersRoutes.listMessages>) {
    return this.door.perform(listMessages, who, input);
  }

  @Handles(remindersRoutes.sendAgain)
  sendAgain(@Asker() who: Who, @Input() input: InputOf<typeof remindersRoutes.sendAgain>) {
    return this.door.perform(sendAgain, who, input);
  }

  @Handles(remindersRoutes.lastSweep)
  lastSweep(@Asker() who: Who) {
    return this.door.perform(lastSweep, who, {});
  }
}
