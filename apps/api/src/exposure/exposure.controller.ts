import { Controller, Inject, Res } from '@nestjs/common';
import { exposureRoutes, type InputOf } from '@bellround/contracts';
import { batteryForecastOf, exportBatteryForecast, listExposure, listRiskVersions, showExposure, showRiskModel, whatIfExposure, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class ExposureController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(exposureRoutes.listExposure)
  list(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.listExposure>) {
    return this.door.perform(listExposure, who, input);
  }

  @Handles(exposureRoutes.showExposure)
  show(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.showExposure>) {
    return this.door.perform(showExposure, who, input);
  }

  @Handles(exposureRoutes.whatIfExposure)
  whatIf(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.whatIfExposure>) {
    return this.door.perform(whatIfExposure, who, input);
  }

  @Handles(exposureRoutes.showRiskModel)
  model(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.showRiskModel>) {
    return this.door.perform(showRiskModel, who, input);
  }

  @Handles(exposureRoutes.listRiskVersions)
  versions(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.listRiskVersions>) {
    return this.door.perform(listRiskVersions, who, input);
  }

  @Handles(exposureRoutes.batteryForecast)
  batteries(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.batteryForecast>) {
    return this.door.perform(batteryForecastOf, who, input);
  }

  @Handles(exposureRoutes.batteryForecastCsv)
  async batteriesCsv(@Asker() who: Who, @Input() input: InputOf<typeof exposureRoutes.batteryForecastCsv>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const { from, csv } = await this.door.perform(exportBatteryForecast, who, input);
    void reply.header('content-type', 'text/csv; charset=utf-8').header('content-disposition', `attachment; filename="battery-forecast-${from}.csv"`);
    return csv;
  }
}
