import { Refusal, type EndReceiverKey, type Receivers } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { receiversOf } from './steps.js';

/** SIG-OP-9. A key opens nothing from now on; its row stays. Twice is harmless. Throws NotFound. */
export const endReceiverKey: Act<EndReceiverKey, Receivers> = async (ctx, { keyId }) => {
  const { db } = ctx.tx;
  const key = await db.receiverKey.findUnique({ where: { companyId_id: { ...own(ctx), id: keyId } }, include: { receiver: true } });
  if (!key) throw new Refusal('NotFound', 'There is no key by that id.');
  if (key.endsAt === null || key.endsAt > ctx.now) {
    await db.receiverKey.update({ where: { companyId_id: { ...own(ctx), id: key.id } }, data: { endsAt: ctx.now } });
    await note(ctx, { act: 'end-receiver-key', about: 'receiver', id: key.receiverId, summary: `Key of ${key.account === '*' ? 'all accounts without their own' : `account ${key.account}`} at ${key.receiver.name} ended` });
  }
  return receiversOf(ctx);
};
