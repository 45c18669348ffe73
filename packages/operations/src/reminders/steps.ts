import type { MessageRow } from '@bellround/contracts';

/** A mail as screens show it. */
export function messageRow(message: { id: string; kind: string; toName: string; toEmail: string; subject: string; body: string; siteId: string | null; state: string; attempts: number; lastError: string | null; createdAt: Date; sentAt: Date | null }): MessageRow {
  return {
    id: message.id, kind: message.kind, toName: message.toName, toEmail: message.toEmail, subject: message.subject, body: message.body, siteId: message.siteId,
    state: message.state as MessageRow['state'], attempts: message.attempts, lastError: message.lastError, createdAt: message.createdAt.toISOString(), sentAt: message.sentAt?.toISOString() ?? null,
  };
}

const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** 'Tue 3 Mar 2026': unambiguous wherever it is read. */
export function dayInWords(day: string): string {
  const [year, month, date] = day.split('-').map(Number) as [number, number, number];
  return `${WEEKDAYS[new Date(Date.UTC(year, month - 1, date)).getUTCDay()]} ${date} ${MONTHS[month - 1]} ${year}`;
}

/** Days before a window lapses at which its site is reminded of a duty whose rule names none; a company may set its own in settings.reminderStagesDays. */
export const DEFAULT_STAGES_DAYS = [28, 7, 1];

export function stagesOf(settings: unknown): number[] {
  const wanted = (settings as { reminderStagesDays?: unknown } | null)?.reminderStagesDays;
  const good = Array.isArray(wanted) && wanted.length > 0 && wanted.every((stage) => Number.isInteger(stage) && stage >= 0 && stage <= 365);
  return good ? (wanted as number[]) : DEFAULT_STAGES_DAYS;
}

/** Said at the foot of every mail. */
export const MAIL_FOOT = 'Local codes, the adopted edition of your standard and licensed practice prevail; this message is a reminder, not a certificate.\nThis is not an alarm-receiving centre: in an emergency call the emergency services.';
