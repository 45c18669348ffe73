import { z } from 'zod';
import { Id } from './basics.js';
import { route } from './route.js';

export const FOUND_KINDS = ['site', 'account', 'client', 'technician', 'deficiency'] as const;
export const FoundThing = z.object({ kind: z.enum(FOUND_KINDS), id: Id, siteId: Id.nullable(), title: z.string(), detail: z.string() });
export type FoundThing = z.infer<typeof FoundThing>;

export const findRoutes = {
  find: route({ name: 'find', method: 'GET', path: '/api/find', summary: 'Sites, accounts, clients, technicians and deficiencies that a text names', may: 'read', input: z.strictObject({ text: z.string().trim().min(2, { error: 'must be at least two characters' }).max(100), each: z.coerce.number().int().min(1).max(20).default(6) }), output: z.object({ rows: z.array(FoundThing) }) }),
};
