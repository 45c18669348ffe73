import { Refusal, type CorrectZone, type ZoneLists } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { zoneListsOf } from './steps.js';

/**
 * One approved correction of our list. Doing it twice is harmless; a zone with devices on it is not taken out; what it was stays
 * in the revisions. Throws NotFound, WrongState.
 */
export const correctZone: Act<CorrectZone, ZoneLists> = async (ctx, input) => {
  const { db } = ctx.tx;
  const system = await db.system.findUnique({ where: { companyId_id: { ...own(ctx), id: input.systemId } } });
  if (!system) throw new Refusal('NotFound', 'There is no system by that id.');
  const number = Number(input.zone);
  const zone = await db.zone.findUnique({ where: { companyId_systemId_number: { ...own(ctx), systemId: system.id, number } }, include: { devices: { where: { removedOn: null }, select: { label: true } } } });
  if (input.act !== 'remove' && input.text === null) throw new Refusal('BadInput', 'text: must say what the zone guards.', { errors: [{ path: 'text', message: 'must say what the zone guards' }] });
  if (input.act === 'remove' && zone) {
    if (zone.devices.length > 0) throw new Refusal('WrongState', `Zone ${number} still has ${zone.devices.map((device) => device.label).join(', ')}; move or remove ${zone.devices.length === 1 ? 'it' : 'them'} first.`);
    await db.device.updateMany({ where: { ...own(ctx), zoneId: zone.id }, data: { zoneId: null } });
    // An update first: the revisions keep what the zone read.
    await db.zone.update({ where: { companyId_id: { ...own(ctx), id: zone.id } }, data: { textOurs: `${zone.textOurs} (taken out)` } });
    await db.zone.delete({ where: { companyId_id: { ...own(ctx), id: zone.id } } });
  }
  if (input.act !== 'remove' && zone) await db.zone.update({ where: { companyId_id: { ...own(ctx), id: zone.id } }, data: { textOurs: input.text! } });
  if (input.act !== 'remove' && !zone) await db.zone.create({ data: { ...own(ctx), id: input.id, systemId: system.id, number, textOurs: input.text! } });
  const said = input.act === 'remove' ? `taken out of our list` : `reads '${input.text}' in our list`;
  await note(ctx, { act: 'correct-zone', about: 'system', id: system.id, siteId: system.siteId, summary: `Zone ${number} of ${system.name} ${said}: ${input.reason}` });
  return zoneListsOf(ctx, system.id);
};
