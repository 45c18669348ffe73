import { z } from 'zod';
import { Id } from './basics.js';
import { route } from './route.js';
import { VisitRow } from './visits.js';

/** What a printed label may name. */
export const LabelKind = z.enum(['site', 'device']);
export type LabelKind = z.infer<typeof LabelKind>;

/** What a label's code says, after the app's own address: an id and nothing that opens or tells anything by itself. */
export const labelPath = (kind: LabelKind, id: string): string => `/at/${kind}/${id}`;

/** The kind and id a scanned text names; null when it is no label of ours. The host is not looked at: labels outlive addresses. */
export function readLabel(text: string): { kind: LabelKind; id: string } | null {
  const found = /\/at\/(site|device)\/([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})(?:[/?#]|$)/i.exec(text.trim());
  return found ? { kind: found[1]!.toLowerCase() as LabelKind, id: found[2]!.toLowerCase() } : null;
}

/** Where a label hangs, and the visits there that are going on or to come; the asker's own first. */
export const LabelPlace = z.object({
  kind: LabelKind, siteId: Id, siteName: z.string(), address: z.string(),
  device: z.object({ id: Id, label: z.string(), kind: z.string(), room: z.string().nullable(), systemName: z.string(), zone: z.int().nullable(), removed: z.boolean() }).nullable(),
  visits: z.array(VisitRow),
});
export type LabelPlace = z.infer<typeof LabelPlace>;

export const labelsRoutes = {
  labelPlace: route({ name: 'labelPlace', method: 'GET', path: '/api/labels/:kind/:labelId', summary: 'What a scanned label names, and the visits there', may: 'read', input: z.strictObject({ kind: LabelKind, labelId: Id }), output: LabelPlace, problems: ['NotFound'] }),
};
