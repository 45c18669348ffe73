import { Refusal, type Receivers, type RetireReceiver } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { receiversOf } from './steps.js';

/** SIG-OP-9. A receiver hears nothing any more and its keys end with it; what it heard stays. Twice is harmless. Throws NotFound. */
export const retireReceiver: Act<RetireReceiver, Receivers> = async (ctx, { receiverId }) => {
  const { db } = ctx.tx;
  const receiver = await db.receiver.findUnique({ where: { companyId_id: { ...own(ctx), id: receiverId } } });
  if (!receiver) throw new Refusal('NotFound', 'There is no receiver by that id.');
  if (receiver.retiredAt === null) {
    await db.receiver.update({ where: { companyId_id: { ...own(ctx), id: receiver.id } }, data: { isOn: false, changedAt: ctx.now, retiredAt: ctx.now } });
    await db.receiverKey.updateMany({ where: { ...own(ctx), receiverId: receiver.id, OR: [{ endsAt: null }, { endsAt: { gt: ctx.now } }] }, data: { endsAt: ctx.now } });
    await note(ctx, { act: 'retire-receiver', about: 'receiver', id: receiver.id, summary: `Receiver ${receiver.name} retired` });
  }
  return receiversOf(ctx);
};
