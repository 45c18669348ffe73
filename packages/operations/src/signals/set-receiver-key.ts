import { Refusal, type Receivers } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { receiversOf } from './steps.js';

const HOUR_MS = 3_600_000;

/**
 * SIG-OP-9. Sets an account's key at a receiver; the one in use opens on for `graceH`, so that the panel can be changed meanwhile. The
 * door seals the text; the act never sees it, and nobody reads it back. Throws NotFound, IdReused, WrongState.
 */
export const setReceiverKey: Act<{ receiverId: string; id: string; account: string; sealed: string; digest: string; bits: number; graceH: number }, Receivers> = async (ctx, { graceH, ...input }) => {
  const { db } = ctx.tx;
  if (ctx.who.userId === null) throw new Refusal('NotAllowed', 'Only a signed-in person sets a key.');
  const receiver = await db.receiver.findUnique({ where: { companyId_id: { ...own(ctx), id: input.receiverId } } });
  if (!receiver) throw new Refusal('NotFound', 'There is no receiver by that id.');
  const before = await db.receiverKey.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && (before.receiverId !== receiver.id || before.account !== input.account || before.digest !== input.digest)) throw new Refusal('IdReused', 'This id was already used to set another key. Make a new id.');
  if (before) return receiversOf(ctx);
  if (receiver.retiredAt) throw new Refusal('WrongState', `${receiver.name} was retired; it takes no key.`);
  const live = await db.receiverKey.findMany({ where: { ...own(ctx), receiverId: receiver.id, account: input.account, OR: [{ endsAt: null }, { endsAt: { gt: ctx.now } }] } });
  if (live.some((key) => key.digest === input.digest)) throw new Refusal('WrongState', 'This is a key that the account has already.', { errors: [{ path: 'key', message: 'must be another than the one in use' }] });
  await db.receiverKey.updateMany({ where: { ...own(ctx), id: { in: live.filter((key) => key.endsAt === null).map((key) => key.id) } }, data: { endsAt: new Date(ctx.now.getTime() + graceH * HOUR_MS) } });
  await db.receiverKey.create({ data: { ...own(ctx), ...input, setAt: ctx.now, setBy: ctx.who.userId } });
  const whose = input.account === '*' ? 'all accounts without their own' : `account ${input.account}`;
  await note(ctx, { act: 'set-receiver-key', about: 'receiver', id: receiver.id, summary: `${live.length > 0 ? 'New key' : 'Key'} of ${whose} at ${receiver.name} set` });
  return receiversOf(ctx);
};
