import { z } from 'zod';
import { route } from './route.js';

/** What a live notice says: something about this subject changed; ask again. */
export const ChangeNotice = z.object({ about: z.string(), siteId: z.string().nullable() });
export type ChangeNotice = z.infer<typeof ChangeNotice>;

export const changesRoute = route({ name: 'changes', method: 'GET', path: '/api/changes', summary: 'Live notices of what changed (server-sent events)', may: 'read', carries: 'events', input: z.strictObject({}), output: ChangeNotice });
export const healthRoute = route({ name: 'health', method: 'GET', path: '/api/health', summary: 'Whether the house can work: the database answers', may: null, input: z.looseObject({}), output: z.object({ ok: z.literal(true) }), problems: ['Unavailable'] });
/** What the map lies on beside the app's own outlines: a server of square tiles, as this house is set. */
export const MapGround = z.object({ tiles: z.object({ url: z.string(), attribution: z.string(), maxZoom: z.number() }).nullable() });
export type MapGround = z.infer<typeof MapGround>;
export const mapGroundRoute = route({ name: 'mapGround', method: 'GET', path: '/api/map-ground', summary: 'Tiles that the map may lie on, where a server of them is set', may: 'read', input: z.strictObject({}), output: MapGround });

export const openApiRoute = route({ name: 'openApi', method: 'GET', path: '/api/openapi.json', summary: 'This document', may: null, input: z.looseObject({}), output: z.looseObject({}) });

export const doorRoutes = { changes: changesRoute, health: healthRoute, openApi: openApiRoute, mapGround: mapGroundRoute };
