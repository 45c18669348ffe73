import { endingHolds, outlivedHolds } from '@bellround/database';
import { HOLD_WARNINGS_MIN } from '@bellround/contracts';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves, factEntry, type LedgerEntry } from '../proof/steps.js';
import { later, noteAll, own } from '../steps.js';
import { MAIL_FOOT } from './steps.js';

/**
 * HOLD-6. Warns of on-test holds that end soon, on record and on every open screen; and finds those that outlived their end without
 * being closed: the station acts on their signals again while work may still go on, or nobody has proven that the account works. Says so
 * once per end time, to owners and dispatchers.
 */
export const watchHolds: Act<object, { warned: number; outlived: number }> = async (ctx) => {
  const [ending, outlived] = [await endingHolds(ctx.tx, ctx.now, HOLD_WARNINGS_MIN), await outlivedHolds(ctx.tx, ctx.now)];
  if (ending.length + outlived.length === 0) return { warned: 0, outlived: 0 };
  const entries = await addHoldFacts(ctx, [
    ...ending.map((hold) => ({ holdId: hold.id, kind: 'warned', detail: { untilAt: new Date(hold.untilAt).toISOString(), minutesLeft: hold.minutesLeft } })),
    ...outlived.map((hold) => ({ holdId: hold.id, kind: 'outlived', detail: { untilAt: new Date(hold.until_at).toISOString() } })),
  ]);
  await mailOutlived(ctx, outlived);
  await noteAll(ctx, [
    ...ending.map((hold) => ({ act: 'hold-ending', about: 'hold', id: hold.id, siteId: hold.siteId, summary: `Account ${hold.accountNumber} at ${hold.siteName}: the on-test hold ends in ${hold.minutesLeft} min` })),
    ...outlived.map((hold) => ({ act: 'hold-outlived', about: 'hold', id: hold.id, siteId: hold.site_id, summary: `Account ${hold.account_number} at ${hold.site_name}: the on-test hold ended and was not closed` })),
  ]);
  if (outlived.length > 0) await later(ctx, 'send-messages', {});
  await appendLeaves(ctx, entries);
  return { warned: ending.length, outlived: outlived.length };
};

async function addHoldFacts(ctx: Ctx, facts: readonly { holdId: string; kind: string; detail: object }[]): Promise<LedgerEntry[]> {
  const rows = facts.map((fact) => ({ ...own(ctx), id: ctx.newId(), holdId: fact.holdId, kind: fact.kind, at: ctx.now, recordedAt: ctx.now, byId: null, detail: fact.detail }));
  await ctx.tx.db.holdFact.createMany({ data: rows });
  return rows.map((row) => factEntry('hold-fact', row));
}

async function mailOutlived(ctx: Ctx, holds: Awaited<ReturnType<typeof outlivedHolds>>): Promise<void> {
  if (holds.length === 0) return;
  const told = await ctx.tx.db.user.findMany({ where: { ...own(ctx), role: { in: ['owner', 'dispatcher'] }, disabledAt: null } });
  await ctx.tx.db.message.createMany({ skipDuplicates: true, data: holds.flatMap((hold) => told.map((person) => ({
    ...own(ctx), id: ctx.newId(), kind: 'hold-outlived', siteId: hold.site_id, createdAt: ctx.now, state: 'waiting', toName: person.name, toEmail: person.email,
    dedupeKey: `hold:${hold.id}:${new Date(hold.until_at).toISOString()}:${person.id}`,
    subject: `On-test hold not closed: account ${hold.account_number}, ${hold.site_name}`,
    body: `The on-test hold of account ${hold.account_number} at ${hold.site_name} ended at ${new Date(hold.until_at).toISOString()} and was not closed (station's reference ${hold.station_reference}${hold.technician ? `, opened by ${hold.technician}` : ''}).\n\nCall ${hold.technician ?? 'the technician'} now, then ${hold.station_name}${hold.station_phone ? ` (${hold.station_phone})` : ''}: either the work goes on and the hold must be extended, or the account must be given back and one live signal proven.\n\n${MAIL_FOOT}`,
  }))) });
}
