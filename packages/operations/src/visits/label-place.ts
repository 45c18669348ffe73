import { Refusal, type LabelKind, type LabelPlace } from '@bellround/contracts';
import type { Act, Ctx } from '../perform.js';
import { own } from '../steps.js';
import { visitRows } from './steps.js';

const AHEAD = ['open', 'published', 'planned', 'wanted'] as const;
const MOST = 20;

/** What a scanned label names, and the visits there that are going on or to come: open first, then the asker's own, then by day. */
export const labelPlace: Act<{ kind: LabelKind; labelId: string }, LabelPlace> = async (ctx, input) => {
  const device = input.kind === 'device' ? await deviceOf(ctx, input.labelId) : null;
  const siteId = device ? device.system.siteId : input.labelId;
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } } });
  if (!site) throw new Refusal('NotFound', `No ${input.kind} of yours has this label. It may be of another company, or the label is worn.`);
  const visits = await ctx.tx.db.visit.findMany({ where: { ...own(ctx), siteId, state: { in: [...AHEAD] } }, include: { site: true }, orderBy: [{ day: { sort: 'asc', nulls: 'last' } }, { id: 'asc' }], take: MOST });
  const place = (one: (typeof visits)[number]) => AHEAD.indexOf(one.state as (typeof AHEAD)[number]) * 2 - (ctx.who.technicianId !== null && one.technicianId === ctx.who.technicianId ? 1 : 0);
  return {
    kind: input.kind, siteId: site.id, siteName: site.name, address: site.address,
    device: device ? { id: device.id, label: device.label, kind: device.kind, room: device.room, systemName: device.system.name, zone: device.zone?.number ?? null, removed: device.removedOn !== null } : null,
    visits: await visitRows(ctx, visits.toSorted((a, b) => place(a) - place(b))),
  };
};

async function deviceOf(ctx: Ctx, id: string) {
  const device = await ctx.tx.db.device.findUnique({ where: { companyId_id: { ...own(ctx), id } }, include: { system: true, zone: true } });
  if (!device) throw new Refusal('NotFound', 'No device of yours has this label. It may be of another company, or the label is worn.');
  return device;
}
