import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, pageOf } from './basics.js';
import { route } from './route.js';

export const MessageState = z.enum(['waiting', 'sending', 'sent', 'kept', 'failed']);

/** One mail owed or sent. 'kept': no mail server is set, the text waits here for a person. */
export const MessageRow = z.object({
  id: Id, kind: z.string(), toName: z.string(), toEmail: z.string(), subject: z.string(), body: z.string(), siteId: Id.nullable(),
  state: MessageState, attempts: z.int(), lastError: z.string().nullable(), createdAt: Instant, sentAt: Instant.nullable(),
});
export type MessageRow = z.infer<typeof MessageRow>;

/** What one sweep of one company and day found. */
export const SweepResult = z.object({ day: LocalDay, opened: z.int(), lapsed: z.int(), reminders: z.int(), messages: z.int(), withoutAddress: z.int() });
export type SweepResult = z.infer<typeof SweepResult>;

export const remindersRoutes = {
  listMessages: route({ name: 'listMessages', method: 'GET', path: '/api/messages', summary: 'Mails owed, sent, kept or failed, newest first', may: 'plan', input: PageInput.extend({ state: MessageState.optional() }), output: pageOf(MessageRow) }),
  sendAgain: route({ name: 'sendAgain', method: 'POST', path: '/api/messages/:messageId/send-again', summary: 'Put a failed or kept mail back in line', may: 'plan', input: z.strictObject({ messageId: Id }), output: MessageRow, problems: ['NotFound', 'WrongState'] }),
  lastSweep: route({ name: 'lastSweep', method: 'GET', path: '/api/sweeps/last', summary: 'When the nightly sweep last ran and what it found', may: 'read', input: z.strictObject({}), output: z.object({ at: Instant.nullable(), result: SweepResult.nullable() }) }),
};
