import type { ReceiverSetting } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { settingOfReceiver } from './steps.js';

/** A receiver as the listener opens it; keys still sealed, the newest of an account first. */
export interface ReceiverToOpen { readonly id: string; readonly setting: ReceiverSetting; readonly keys: readonly { readonly id: string; readonly account: string; readonly sealed: string; readonly endsAt: string | null }[] }

/** SIG-OP-9. The receivers that are to be open now, for the listener: none that is off or retired, no key that has ended. */
export const loadReceivers: Act<object, ReceiverToOpen[]> = async (ctx) => {
  const rows = await ctx.tx.db.receiver.findMany({ where: { ...own(ctx), isOn: true, retiredAt: null }, include: { keys: { where: { OR: [{ endsAt: null }, { endsAt: { gt: ctx.now } }] }, orderBy: [{ setAt: 'desc' }, { id: 'desc' }] } }, orderBy: { id: 'asc' } });
  return rows.map((row) => ({ id: row.id, setting: settingOfReceiver(row), keys: row.keys.map((key) => ({ id: key.id, account: key.account, sealed: key.sealed, endsAt: key.endsAt?.toISOString() ?? null })) }));
};
