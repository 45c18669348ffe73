import { Controller, Inject, Res } from '@nestjs/common';
import { dutiesRoutes, type InputOf } from '@bellround/contracts';
import { addClosedDays, chooseHolidays, chooseSiteHolidays, dutiesDue, listHolidayRegions, planCatchUp, readHistory, removeClosedDays, showClosedDays, showTogether, yearsAhead, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { dutiesCalendar } from './duties-calendar.js';

@Controller()
export class DutiesController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(dutiesRoutes.doTogether)
  doTogether(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.doTogether>) {
    return this.door.perform(showTogether, who, input);
  }

  @Handles(dutiesRoutes.yearsAhead)
  yearsAhead(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.yearsAhead>) {
    return this.door.perform(yearsAhead, who, input);
  }

  @Handles(dutiesRoutes.catchUp)
  catchUp(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.catchUp>) {
    return this.door.perform(planCatchUp, who, input);
  }

  @Handles(dutiesRoutes.dutiesCalendar)
  async dutiesCalendar(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.dutiesCalendar>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const due = await this.door.perform(dutiesDue, who, input);
    void reply.header('content-type', 'text/calendar; charset=utf-8').header('content-disposition', 'attachment; filename="duties.ics"');
    return dutiesCalendar(due, this.door.tools.now());
  }

  @Handles(dutiesRoutes.readHistory)
  readHistory(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.readHistory>) {
    return this.door.perform(readHistory, who, input);
  }

  @Handles(dutiesRoutes.closedDays)
  closedDays(@Asker() who: Who) {
    return this.door.perform(showClosedDays, who, {});
  }

  @Handles(dutiesRoutes.holidayRegions)
  holidayRegions(@Asker() who: Who) {
    return this.door.perform(listHolidayRegions, who, {});
  }

  @Handles(dutiesRoutes.addClosedDays)
  addClosedDays(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.addClosedDays>) {
    return this.door.perform(addClosedDays, who, input);
  }

  @Handles(dutiesRoutes.removeClosedDays)
  removeClosedDays(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.removeClosedDays>) {
    return this.door.perform(removeClosedDays, who, input);
  }

  @Handles(dutiesRoutes.chooseHolidays)
  chooseHolidays(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.chooseHolidays>) {
    return this.door.perform(chooseHolidays, who, input);
  }

  @Handles(dutiesRoutes.chooseSiteHolidays)
  chooseSiteHolidays(@Asker() who: Who, @Input() input: InputOf<typeof dutiesRoutes.chooseSiteHolidays>) {
    return this.door.perform(chooseSiteHolidays, who, input);
  }
}
