import { Controller, Inject, Res } from '@nestjs/common';
import { conditionRoutes, standingRoutes, type InputOf } from '@bellround/contracts';
import { checkBehind, exportOnTime, exportOverdue, exportStanding, lateWindows, listOverdue, listStanding, standingStrips, onTime, siteCondition, siteStanding, siteTrends, windowBehind, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class StandingController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(standingRoutes.listStanding)
  listStanding(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.listStanding>) {
    return this.door.perform(listStanding, who, input);
  }

  @Handles(standingRoutes.standingStrips)
  standingStrips(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.standingStrips>) {
    return this.door.perform(standingStrips, who, input);
  }

  @Handles(standingRoutes.standingCsv)
  async standingCsv(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.standingCsv>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const { asOf, csv } = await this.door.perform(exportStanding, who, input);
    asCsv(reply, `standing-${asOf}.csv`);
    return csv;
  }

  @Handles(standingRoutes.overdue)
  overdue(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.overdue>) {
    return this.door.perform(listOverdue, who, input);
  }

  @Handles(standingRoutes.overdueCsv)
  async overdueCsv(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.overdueCsv>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const { asOf, csv } = await this.door.perform(exportOverdue, who, input);
    asCsv(reply, `overdue-${asOf}.csv`);
    return csv;
  }

  @Handles(standingRoutes.onTime)
  onTime(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.onTime>) {
    return this.door.perform(onTime, who, input);
  }

  @Handles(standingRoutes.onTimeCsv)
  async onTimeCsv(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.onTimeCsv>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const { asOf, csv } = await this.door.perform(exportOnTime, who, input);
    asCsv(reply, `on-time-${asOf}.csv`);
    return csv;
  }

  @Handles(standingRoutes.lateWindows)
  lateWindows(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.lateWindows>) {
    return this.door.perform(lateWindows, who, input);
  }

  @Handles(standingRoutes.siteStanding)
  siteStanding(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.siteStanding>) {
    return this.door.perform(siteStanding, who, input);
  }

  @Handles(conditionRoutes.siteTrends)
  siteTrends(@Asker() who: Who, @Input() input: InputOf<typeof conditionRoutes.siteTrends>) {
    return this.door.perform(siteTrends, who, input);
  }

  @Handles(conditionRoutes.siteCondition)
  siteCondition(@Asker() who: Who, @Input() input: InputOf<typeof conditionRoutes.siteCondition>) {
    return this.door.perform(siteCondition, who, input);
  }

  @Handles(standingRoutes.windowBehind)
  windowBehind(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.windowBehind>) {
    return this.door.perform(windowBehind, who, input);
  }

  @Handles(standingRoutes.checkBehind)
  checkBehind(@Asker() who: Who, @Input() input: InputOf<typeof standingRoutes.checkBehind>) {
    return this.door.perform(checkBehind, who, input);
  }
}

function asCsv(reply: FastifyReply, fileName: string): void {
  void reply.header('content-type', 'text/csv; charset=utf-8').header('content-disposition', `attachment; filename="${fileName}"`);
}
