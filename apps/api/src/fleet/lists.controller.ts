import { Controller, Inject } from '@nestjs/common';
import { listsRoutes, type InputOf } from '@bellround/contracts';
import { assignDifference, compareLists, listDifferences, settleDifference, showLists, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class ListsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(listsRoutes.lists)
  lists(@Asker() who: Who, @Input() input: InputOf<typeof listsRoutes.lists>) {
    return this.door.perform(showLists, who, input);
  }

  @Handles(listsRoutes.compareLists)
  compare(@Asker() who: Who) {
    return this.door.perform(compareLists, who, {});
  }

  @Handles(listsRoutes.listDifferences)
  differences(@Asker() who: Who, @Input() input: InputOf<typeof listsRoutes.listDifferences>) {
    return this.door.perform(listDifferences, who, input);
  }

  @Handles(listsRoutes.assignDifference)
  assign(@Asker() who: Who, @Input() input: InputOf<typeof listsRoutes.assignDifference>) {
    return this.door.perform(assignDifference, who, input);
  }

  @Handles(listsRoutes.settleDifference)
  settle(@Asker() who: Who, @Input() input: InputOf<typeof listsRoutes.settleDifference>) {
    return this.door.perform(settleDifference, who, input);
  }
}
