import { Refusal, type KeepReceiver, type Receivers } from '@bellround/contracts';
import { canonicalJson, type JsonValue } from '@bellround/proof';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { receiversOf, settingOfReceiver } from './steps.js';

/** SIG-OP-9. Adds a receiver, or changes one; the listener follows by itself. The same again changes nothing. Throws WrongState. */
export const keepReceiver: Act<KeepReceiver, Receivers> = async (ctx, { id, setting }) => {
  const { db } = ctx.tx;
  if (ctx.who.userId === null) throw new Refusal('NotAllowed', 'Only a signed-in person sets a receiver.');
  const before = await db.receiver.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (before?.retiredAt) throw new Refusal('WrongState', `${before.name} was retired; add another receiver instead.`);
  if (before && canonicalJson(settingOfReceiver(before) as JsonValue) === canonicalJson(setting as JsonValue)) return receiversOf(ctx);
  const same = await db.receiver.findFirst({ where: { ...own(ctx), retiredAt: null, port: setting.port, id: { not: id } } });
  if (same) throw new Refusal('WrongState', `Port ${setting.port} is that of ${same.name}; take another.`, { errors: [{ path: 'setting.port', message: `is taken by ${same.name}` }] });
  const data = { ...setting, changedAt: ctx.now };
  if (before) await db.receiver.update({ where: { companyId_id: { ...own(ctx), id } }, data });
  else await db.receiver.create({ data: { ...own(ctx), id, ...data, createdAt: ctx.now, createdBy: ctx.who.userId } });
  const said = before === null ? 'added' : before.isOn === setting.isOn ? 'changed' : setting.isOn ? 'switched on' : 'switched off';
  await note(ctx, { act: 'keep-receiver', about: 'receiver', id, summary: `Receiver ${setting.name} on port ${setting.port} ${said}` });
  return receiversOf(ctx);
};
