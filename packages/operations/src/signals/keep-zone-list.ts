import { Refusal, type KeepZoneList, type ZoneLists } from '@bellround/contracts';
import { canonicalJson, type JsonValue } from '@bellround/proof';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { zoneListsOf } from './steps.js';

const WHERE = { panel: 'read from the control unit', station: 'read from the station', site: 'looked for on site' } as const;

/** Keeps a list as it was read; an older one stays, the newest counts. Changes nothing of ours. */
export const keepZoneList: Act<KeepZoneList, ZoneLists> = async (ctx, input) => {
  const { db } = ctx.tx;
  const system = await db.system.findUnique({ where: { companyId_id: { ...own(ctx), id: input.systemId } } });
  if (!system) throw new Refusal('NotFound', 'There is no system by that id.');
  const before = await db.zoneList.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  const isSame = before !== null && before.systemId === system.id && before.list === input.list && canonicalJson(before.rows as JsonValue) === canonicalJson(input.rows);
  if (before && !isSame) throw new Refusal('IdReused', 'This id was already used for another list. Make a new id.');
  if (!before) {
    await db.zoneList.create({ data: { ...own(ctx), id: input.id, systemId: system.id, list: input.list, rows: input.rows, recordedAt: ctx.now, byId: ctx.who.userId! } });
    await note(ctx, { act: 'keep-zone-list', about: 'system', id: system.id, siteId: system.siteId, summary: `${input.rows.length} zones ${WHERE[input.list]}: ${system.name}` });
  }
  return zoneListsOf(ctx, system.id);
};
