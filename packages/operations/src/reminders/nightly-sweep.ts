import type { SweepResult } from '@bellround/contracts';
import { dueReminders, turningWindows, type DueReminder } from '@bellround/database';
import { usableDates, type LocalDate } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dbDay, later, note, own } from '../steps.js';
import { dayInWords, MAIL_FOOT, stagesOf } from './steps.js';

/** A fleet's first night may owe a hundred thousand; written all at once they took close to two gigabytes. */
const MESSAGES_AT_ONCE = 1000;

/**
 * One company's nightly sweep of one day: counts what opened and lapsed, and writes the reminders owed. Rules REM-1..5:
 * once per duty, lapse and stage, held by the database's key; duties of one site, lapse and stage share one mail; a site
 * without any address yields a failed message that a dispatcher sees. Running it again for the same day adds nothing.
 */
export const nightlySweep: Act<{ day: string }, SweepResult> = async (ctx, { day }) => {
  await ctx.tx.sql(`select pg_advisory_xact_lock(hashtext('sweep:' || current_company()::text))::text`); // two sweeps of one company: the second waits
  const before = await ctx.tx.db.sweepRun.findUnique({ where: { companyId_kind_day: { ...own(ctx), kind: 'nightly', day: dbDay(day) } } });
  if (before) return before.result as SweepResult;
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const turning = await turningWindows(ctx.tx, day);
  const owed = await dueReminders(ctx.tx, day, stagesOf(company.settings));
  const mails = groupByMail(owed);
  const messages = mails.map((lines) => ({ id: ctx.newId(), lines, ...mailOf(company.name, day, lines) }));
  for (let at = 0; at < messages.length; at += MESSAGES_AT_ONCE) {
    const some = messages.slice(at, at + MESSAGES_AT_ONCE);
    await ctx.tx.db.message.createMany({ data: some.map(({ id, lines, ...mail }) => ({
      ...own(ctx), id, kind: 'reminder', siteId: lines[0]!.site_id, createdAt: ctx.now, ...mail })) });
    await ctx.tx.db.reminder.createMany({ data: some.flatMap(({ id, lines }) => lines.map((line) => ({
      ...own(ctx), dutyId: line.duty_id, lapses: dbDay(line.lapses), stageDays: line.stage_days, messageId: id, createdAt: ctx.now }))) });
  }
  const result: SweepResult = { day, ...turning, reminders: owed.length, messages: messages.length, withoutAddress: messages.filter((mail) => mail.state === 'failed').length };
  await ctx.tx.db.sweepRun.create({ data: { ...own(ctx), kind: 'nightly', day: dbDay(day), at: ctx.now, result } });
  await tell(ctx, result);
  return result;
};

async function tell(ctx: Ctx, result: SweepResult): Promise<void> {
  await note(ctx, { act: 'nightly-sweep', about: 'standing', summary: `Sweep of ${dayInWords(result.day)}: ${result.opened} windows opened, ${result.lapsed} lapsed, ${result.reminders} reminders in ${result.messages} messages` });
  if (result.messages > result.withoutAddress) await later(ctx, 'send-messages', {});
}

function groupByMail(owed: DueReminder[]): DueReminder[][] {
  const groups = new Map<string, DueReminder[]>();
  for (const line of owed) {
    const key = `${line.site_id} ${line.lapses} ${line.stage_days}`;
    groups.set(key, [...(groups.get(key) ?? []), line]);
  }
  return [...groups.values()];
}

function mailOf(companyName: string, day: string, lines: DueReminder[]) {
  const first = lines[0]!;
  const toEmail = first.to_email ?? '';
  return {
    dedupeKey: `reminder:${first.site_id}:${first.lapses}:${first.stage_days}:${day}`,
    toName: first.to_name ?? '', toEmail,
    state: toEmail ? 'waiting' : 'failed',
    lastError: toEmail ? null : `No e-mail address for ${first.site_name}: add a contact who permits entry, or the client's address.`,
    subject: `Please agree a date: alarm system check at ${first.site_name} by ${dayInWords(first.lapses)}`,
    body: [
      `Dear ${first.to_name ?? 'client'},`, '',
      `the alarm system at ${first.site_name}, ${first.site_address}, has to be tested by ${dayInWords(first.lapses)}:`, '',
      ...lines.map((line) => `- ${line.title} (${line.regime}): ${whenItCanBe(line)}`), '',
      'Before the test we put the account on test with the supervising station, and take it off test before we leave. Sounders may sound for a short time.', '',
      `Please answer this message with a day and hours that suit you.`, '', companyName, '', MAIL_FOOT,
    ].join('\n'),
  };
}

/** The days of a window in words; where a season shuts the site, only those on which somebody can come. */
function whenItCanBe({ opens, lapses, season }: DueReminder): string {
  if (season === null) return `can be done from ${dayInWords(opens)} to ${dayInWords(lapses)}`;
  const days = usableDates(opens as LocalDate, lapses as LocalDate, { closedSeasons: [season] });
  if (days.length === 0) return `due from ${dayInWords(opens)} to ${dayInWords(lapses)}, all of which is closed (${season.reason}): please tell us on which day we may come in all the same`;
  return `due from ${dayInWords(opens)} to ${dayInWords(lapses)}; because of the closure (${season.reason}) it can only be done from ${dayInWords(days[0]!)} to ${dayInWords(days.at(-1)!)}`;
}
