import { Controller, Inject } from '@nestjs/common';
import { signalsRoutes, silencesRoutes, type InputOf } from '@bellround/contracts';
import { listSilences, showRoundTrip, takeStationEvents, recordRoundTrip, showZoneLists, keepZoneList, correctZone, showEvidence, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class SignalsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(signalsRoutes.showRoundTrip)
  showRoundTrip(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.showRoundTrip>) {
    return this.door.perform(showRoundTrip, who, input);
  }

  @Handles(signalsRoutes.takeStationEvents)
  takeStationEvents(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.takeStationEvents>) {
    return this.door.perform(takeStationEvents, who, input);
  }

  @Handles(signalsRoutes.recordRoundTrip)
  recordRoundTrip(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.recordRoundTrip>) {
    return this.door.perform(recordRoundTrip, who, input);
  }

  @Handles(signalsRoutes.showZoneLists)
  showZoneLists(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.showZoneLists>) {
    return this.door.perform(showZoneLists, who, input);
  }

  @Handles(signalsRoutes.keepZoneList)
  keepZoneList(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.keepZoneList>) {
    return this.door.perform(keepZoneList, who, input);
  }

  @Handles(signalsRoutes.correctZone)
  correctZone(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.correctZone>) {
    return this.door.perform(correctZone, who, input);
  }

  @Handles(signalsRoutes.showEvidence)
  showEvidence(@Asker() who: Who, @Input() input: InputOf<typeof signalsRoutes.showEvidence>) {
    return this.door.perform(showEvidence, who, input);
  }

  @Handles(silencesRoutes.listSilences)
  listSilences(@Asker() who: Who, @Input() input: InputOf<typeof silencesRoutes.listSilences>) {
    return this.door.perform(listSilences, who, input);
  }
}
