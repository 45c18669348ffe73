import { Controller, Inject } from '@nestjs/common';
import { healthRoute, openApiRoute } from '@bellround/contracts';
import { DOOR, type Door } from './door.js';
import { Handles } from './handles.js';
import { openApi } from './open-api.js';

@Controller()
export class HealthController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  /** Answers only when the database does. */
  @Handles(healthRoute)
  async health(): Promise<{ ok: true }> {
    await this.door.alive();
    return { ok: true };
  }

  @Handles(openApiRoute)
  document(): object {
    return openApi();
  }
}
