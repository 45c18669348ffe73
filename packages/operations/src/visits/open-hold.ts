import { Refusal, type HoldRow, type OpenHold } from '@bellround/contracts';
import { lockAccountRow } from '@bellround/database';
import type { Act } from '../perform.js';
import { appendLeaves, factEntry } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { bodyDigest, doneAt, holdRows, lockVisit, requireOpen } from './steps.js';

/** Longest hold that can be believed; a longer one is a mistyped end (company rule). */
const MOST_HOURS = 24;

/** Puts an account on test at the station. Rules HOLD-1..3: one open hold per account, always with an end. Throws HoldOpen, VisitClosed, IdReused. */
export const openHold: Act<OpenHold, HoldRow> = async (ctx, input) => {
  const { db } = ctx.tx;
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  const before = await db.holdFact.findFirst({ where: { ...own(ctx), holdId: input.id, kind: 'opened' } });
  if (before && (before.detail as { digest?: string }).digest !== digest) throw new Refusal('IdReused', 'This id was already used for another hold.');
  if (before) return (await holdRows(ctx, { id: input.id }))[0]!;
  requireOpen(visit);
  const at = doneAt(ctx, input);
  const until = new Date(input.untilAt);
  const wrong = until <= at ? 'must be after now' : until.getTime() - at.getTime() > MOST_HOURS * 3_600_000 ? `must be within ${MOST_HOURS} hours; extend the hold if the work takes longer` : null;
  if (wrong) throw new Refusal('BadInput', `untilAt: ${input.untilAt} ${wrong}.`, { errors: [{ path: 'untilAt', message: wrong }] });
  await lockAccountRow(ctx.tx, input.accountId);
  const account = await db.account.findUnique({ where: { companyId_id: { ...own(ctx), id: input.accountId } } });
  if (!account || account.siteId !== visit.siteId) throw new Refusal('NotFound', 'There is no account by that id at this site.');
  const [open] = (await holdRows(ctx, { closedAt: null })).filter((hold) => hold.accountId === account.id);
  if (open) throw new Refusal('HoldOpen', `Account ${account.number} is on test already, since ${open.openedAt} until ${open.untilAt} (station's reference ${open.stationReference}). Extend or close that hold.`, { data: { hold: open } });
  await db.hold.create({ data: {
    ...own(ctx), id: input.id, accountId: account.id, visitId: visit.id, parts: [...new Set(input.parts)], stationReference: input.stationReference, operatorName: input.operatorName, openedAt: at, untilAt: until, openedBy: ctx.who.userId!,
  } });
  const fact = await db.holdFact.create({ data: { ...own(ctx), id: ctx.newId(), holdId: input.id, kind: 'opened', at, recordedAt: ctx.now, byId: ctx.who.userId, detail: { digest, parts: input.parts, untilAt: until.toISOString(), stationReference: input.stationReference, operatorName: input.operatorName } } });
  await note(ctx, { act: 'open-hold', about: 'hold', id: input.id, siteId: visit.siteId, summary: `Account ${account.number} at ${visit.site.name} is on test until ${until.toISOString()}` });
  await appendLeaves(ctx, [factEntry('hold-fact', fact)]);
  return (await holdRows(ctx, { id: input.id }))[0]!;
};
