import { Controller, Inject } from '@nestjs/common';
import { healthRoute, mapGroundRoute, openApiRoute, type MapGround } from '@bellround/contracts';
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

  @Handles(mapGroundRoute)
  mapGround(): MapGround {
    const { MAP_TILES_URL: url, MAP_TILES_ATTRIBUTION: attribution, MAP_TILES_MAX_ZOOM: maxZoom } = this.door.settings;
    return { tiles: url && attribution ? { url, attribution, maxZoom } : null };
  }

  @Handles(openApiRoute)
  document(): object {
    return openApi();
  }
}
