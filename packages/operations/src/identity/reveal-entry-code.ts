import { CODE_AFTER_MIN, CODE_BEFORE_MIN, Refusal, type RevealEntryCode } from '@bellround/contracts';
import { localDateTimeAt } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { codeKey, codeWindowsOf } from './steps.js';

/**
 * Lets the visit's own technician see a code, and records the sight in the same transaction: no sight without its record
 * (IDN-1, IDN-2). Answers the sealed text for the door to open. The same id again is the same sight, if it is still time.
 */
export const revealEntryCode: Act<RevealEntryCode, { keyId: string; label: string; sealed: string; until: string }> = async (ctx, input) => {
  const { db } = ctx.tx;
  const key = await codeKey(ctx, input.keyId);
  if (ctx.who.role !== 'technician' || ctx.who.userId === null) throw new Refusal('NotAllowed', `An entry code is shown only to the technician of a visit, from ${CODE_BEFORE_MIN} min before until ${CODE_AFTER_MIN} min after it. ${ctx.who.role === 'dispatcher' ? 'A dispatcher' : 'Your role'} sets codes and sees who saw them.`);
  const window = (await codeWindowsOf(ctx, key.siteId)).find((one) => one.visitId === input.visitId);
  if (!window) throw new Refusal('WrongState', `You have no visit at ${key.site.name} by that id that is published to you.`);
  const now = ctx.now.getTime();
  const local = (ms: number) => localDateTimeAt(new Date(ms).toISOString(), key.site.timeZone).slice(0, 16).replace('T', ' ');
  if (now < window.from || now > window.to) throw new Refusal('WrongState', `The code of ${key.label} is shown from ${local(window.from)} until ${local(window.to)}, the time of your visit here; it is ${local(now)}.`, { data: { from: new Date(window.from).toISOString(), to: new Date(window.to).toISOString() } });
  const code = key.codes[0];
  if (!code?.sealed) throw new Refusal('NotFound', 'There is no entry code by that id.');
  const before = await db.codeSight.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && (before.codeId !== code.id || before.userId !== ctx.who.userId || before.visitId !== input.visitId)) throw new Refusal('IdReused', 'This id was already used for another sight. Make a new id.');
  if (!before) {
    await db.codeSight.create({ data: { ...own(ctx), id: input.id, codeId: code.id, visitId: input.visitId, userId: ctx.who.userId, at: ctx.now } });
    await note(ctx, { act: 'reveal-entry-code', about: 'entry-code', id: key.id, siteId: key.siteId, summary: `${ctx.who.name} saw the code for ${key.label} at ${key.site.name}` });
  }
  return { keyId: key.id, label: key.label, sealed: code.sealed, until: new Date(window.to).toISOString() };
};
