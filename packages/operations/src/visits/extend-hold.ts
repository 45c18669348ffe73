import { Refusal, type ExtendHold, type HoldRow } from '@bellround/contracts';
import { lockHoldRow } from '@bellround/database';
import type { Act } from '../perform.js';
import { appendLeaves, factEntry } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { bodyDigest, doneAt, holdRows } from './steps.js';

/** Moves a hold's end, as the station's operator confirmed. The earlier end stays in the hold's facts. */
export const extendHold: Act<ExtendHold, HoldRow> = async (ctx, input) => {
  const { db } = ctx.tx;
  if (!(await lockHoldRow(ctx.tx, input.holdId))) throw new Refusal('NotFound', 'There is no hold by that id.');
  const digest = bodyDigest(ctx, input);
  const before = await db.holdFact.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && (before.detail as { digest?: string }).digest !== digest) throw new Refusal('IdReused', 'This id was already used for something else.');
  const hold = (await holdRows(ctx, { id: input.holdId }))[0]!;
  if (before) return hold;
  if (hold.closedAt !== null) throw new Refusal('WrongState', `This hold was closed at ${hold.closedAt}; open a new one.`);
  const at = doneAt(ctx, input);
  const until = new Date(input.untilAt);
  const wrong = until <= at ? 'must be after now' : until.getTime() - at.getTime() > 24 * 3_600_000 ? 'must be within 24 hours from now' : null;
  if (wrong) throw new Refusal('BadInput', `untilAt: ${input.untilAt} ${wrong}.`, { errors: [{ path: 'untilAt', message: wrong }] });
  // Between the old end and this moment the station acted on signals: the gap stays on record, and checks in it stay refused.
  const gap = new Date(hold.untilAt) < at;
  if (gap) throw new Refusal('WrongState', `This hold ended at the station at ${hold.untilAt}; it cannot be extended backwards. Close it with the station's confirmation and open a new one.`, { data: { hold } });
  await db.hold.update({ where: { companyId_id: { ...own(ctx), id: hold.id } }, data: { untilAt: until } });
  const fact = await db.holdFact.create({ data: { ...own(ctx), id: input.id, holdId: hold.id, kind: 'extended', at, recordedAt: ctx.now, byId: ctx.who.userId, detail: { digest, from: hold.untilAt, untilAt: until.toISOString(), operatorName: input.operatorName } } });
  await note(ctx, { act: 'extend-hold', about: 'hold', id: hold.id, siteId: hold.siteId, summary: `Account ${hold.accountNumber} at ${hold.siteName} stays on test until ${until.toISOString()}` });
  await appendLeaves(ctx, [factEntry('hold-fact', fact)]);
  return (await holdRows(ctx, { id: hold.id }))[0]!;
};
