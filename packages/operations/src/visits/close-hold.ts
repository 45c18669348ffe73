import { Refusal, type CloseHold, type HoldRow } from '@bellround/contracts';
import { lockHoldRow } from '@bellround/database';
import type { Act } from '../perform.js';
import { appendLeaves, factEntry } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { bodyDigest, doneAt, holdRows } from './steps.js';

/** Takes an account off test: only with the name of who confirmed it at the station and the count of signals it received. */
export const closeHold: Act<CloseHold, HoldRow> = async (ctx, input) => {
  const { db } = ctx.tx;
  if (!(await lockHoldRow(ctx.tx, input.holdId))) throw new Refusal('NotFound', 'There is no hold by that id.');
  const digest = bodyDigest(ctx, input);
  const before = await db.holdFact.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && (before.detail as { digest?: string }).digest !== digest) throw new Refusal('IdReused', 'This id was already used for something else.');
  const hold = (await holdRows(ctx, { id: input.holdId }))[0]!;
  if (before) return hold;
  if (hold.closedAt !== null) throw new Refusal('WrongState', `This hold was closed at ${hold.closedAt}, confirmed by ${hold.closeConfirmedBy}.`, { data: { hold } });
  const at = doneAt(ctx, input);
  await db.hold.update({ where: { companyId_id: { ...own(ctx), id: hold.id } }, data: { closedAt: at, closedBy: ctx.who.userId, closeConfirmedBy: input.confirmedBy, signalsReceived: input.signalsReceived } });
  const fact = await db.holdFact.create({ data: { ...own(ctx), id: input.id, holdId: hold.id, kind: 'closed', at, recordedAt: ctx.now, byId: ctx.who.userId, detail: { digest, confirmedBy: input.confirmedBy, signalsReceived: input.signalsReceived } } });
  await note(ctx, { act: 'close-hold', about: 'hold', id: hold.id, siteId: hold.siteId, summary: `Account ${hold.accountNumber} at ${hold.siteName} is live again; the station counted ${input.signalsReceived} signals` });
  await appendLeaves(ctx, [factEntry('hold-fact', fact)]);
  return (await holdRows(ctx, { id: hold.id }))[0]!;
};
