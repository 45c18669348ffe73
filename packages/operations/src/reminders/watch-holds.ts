import { outlivedHolds } from '@bellround/database';
import type { Act } from '../perform.js';
import { later, note, own } from '../steps.js';
import { MAIL_FOOT } from './steps.js';

/**
 * Finds accounts whose on-test hold outlived its end without being closed: the station acts on their signals again while
 * work may still go on, or nobody has proven that the account works. Says so once per end time, to owners and dispatchers.
 */
export const watchHolds: Act<object, { outlived: number }> = async (ctx) => {
  const holds = await outlivedHolds(ctx.tx, ctx.now);
  if (holds.length === 0) return { outlived: 0 };
  const told = await ctx.tx.db.user.findMany({ where: { ...own(ctx), role: { in: ['owner', 'dispatcher'] }, disabledAt: null } });
  await ctx.tx.db.holdFact.createMany({ data: holds.map((hold) => ({ ...own(ctx), id: ctx.newId(), holdId: hold.id, kind: 'outlived', at: ctx.now, recordedAt: ctx.now, byId: null, detail: { untilAt: hold.until_at } })) });
  await ctx.tx.db.message.createMany({ skipDuplicates: true, data: holds.flatMap((hold) => told.map((person) => ({
    ...own(ctx), id: ctx.newId(), kind: 'hold-outlived', siteId: hold.site_id, createdAt: ctx.now, state: 'waiting', toName: person.name, toEmail: person.email,
    dedupeKey: `hold:${hold.id}:${new Date(hold.until_at).toISOString()}:${person.id}`,
    subject: `On-test hold not closed: account ${hold.account_number}, ${hold.site_name}`,
    body: `The on-test hold of account ${hold.account_number} at ${hold.site_name} ended at ${new Date(hold.until_at).toISOString()} and was not closed (station's reference ${hold.station_reference}${hold.technician ? `, opened by ${hold.technician}` : ''}).\n\nCall ${hold.technician ?? 'the technician'} now, then ${hold.station_name}${hold.station_phone ? ` (${hold.station_phone})` : ''}: either the work goes on and the hold must be extended, or the account must be given back and one live signal proven.\n\n${MAIL_FOOT}`,
  }))) });
  for (const hold of holds) await note(ctx, { act: 'hold-outlived', about: 'hold', id: hold.id, siteId: hold.site_id, summary: `Account ${hold.account_number} at ${hold.site_name}: the on-test hold ended and was not closed` });
  await later(ctx, 'send-messages', {});
  return { outlived: holds.length };
};
