import { overdueLines } from '@bellround/database';
import type { Act } from '../perform.js';
import { later, note, own } from '../steps.js';
import { dayInWords, MAIL_FOOT } from './steps.js';

/** The owners' weekly list of what is lapsed or cannot be told. One mail per owner and week (`day` is its Monday), empty list included. */
export const weeklyOverdue: Act<{ day: string }, { messages: number; lines: number }> = async (ctx, { day }) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const owners = await ctx.tx.db.user.findMany({ where: { ...own(ctx), role: 'owner', disabledAt: null } });
  const lines = await overdueLines(ctx.tx, day);
  const lapsed = lines.filter((line) => line.standing === 'lapsed');
  const unknown = lines.filter((line) => line.standing === 'cant-tell');
  const body = [
    lapsed.length === 0 ? 'No duty is lapsed.' : `${lapsed.length} duties are lapsed, oldest first:`, '',
    ...lapsed.slice(0, 200).map((line) => `- ${line.site_name}${line.locality ? `, ${line.locality}` : ''}: ${line.title} (${line.regime}), lapsed ${dayInWords(line.lapses)}, ${line.days_late} days ago`),
    ...(lapsed.length > 200 ? [`... and ${lapsed.length - 200} more; the whole list is in the app under Standing.`] : []), '',
    unknown.length === 0 ? 'Every other duty can be told.' : `${unknown.length} duties cannot be told (no proof on record); they are listed under Standing.`, '', MAIL_FOOT,
  ].join('\n');
  const made = await ctx.tx.db.message.createMany({ skipDuplicates: true, data: owners.map((owner) => ({
    ...own(ctx), id: ctx.newId(), dedupeKey: `overdue:${day}:${owner.id}`, kind: 'overdue-list', toName: owner.name, toEmail: owner.email,
    subject: `${company.name}: ${lapsed.length} duties lapsed, ${unknown.length} cannot be told (${dayInWords(day)})`, body, state: 'waiting', createdAt: ctx.now })) });
  if (made.count > 0) {
    await note(ctx, { act: 'weekly-overdue', about: 'message', summary: `Overdue list of ${dayInWords(day)} for ${made.count} owners: ${lapsed.length} lapsed` });
    await later(ctx, 'send-messages', {});
  }
  return { messages: made.count, lines: lines.length };
};
