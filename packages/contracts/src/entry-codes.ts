import { z } from 'zod';
import { Id, Instant } from './basics.js';
import { route } from './route.js';

/** How long before a technician's visit begins and after it ends its site's entry codes may be seen (a company rule). */
export const CODE_BEFORE_MIN = 30;
export const CODE_AFTER_MIN = 60;

/** A code that opens a site. Its text is in no list, search, export or kept page: only `revealEntryCode` answers it. */
export const EntryCodeRow = z.object({
  keyId: Id, siteId: Id, label: z.string(), setAt: Instant, setBy: z.string(),
  /** sights of the code as it is now */
  seen: z.int(),
  /** for the asking technician: the time in which they may see it, of their nearest visit here; null: no visit of theirs */
  forMe: z.object({ visitId: Id, from: Instant, to: Instant }).nullable(),
});
export type EntryCodeRow = z.infer<typeof EntryCodeRow>;

/** One sight of a code: who, when, for which visit. Never its text. */
export const CodeSight = z.object({ id: Id, keyId: Id, label: z.string(), byName: z.string(), at: Instant, visitId: Id, visitTitle: z.string(), isOfPresentCode: z.boolean() });
export type CodeSight = z.infer<typeof CodeSight>;

export const EntryCodes = z.object({ rows: z.array(EntryCodeRow), sights: z.array(CodeSight) });
export type EntryCodes = z.infer<typeof EntryCodes>;

export const SetEntryCode = z.strictObject({
  siteId: Id,
  /** of the code's place; a new one is made by the asker, an existing one gets a new code */
  keyId: Id,
  /** of this setting, made by the asker: sent again it is answered again */
  id: Id,
  label: z.string().trim().min(1, { error: 'must say what it opens, such as Yard door keypad' }).max(120),
  code: z.string().trim().min(1, { error: 'must be the code' }).max(64, { error: 'must be at most 64 characters' }),
});
export type SetEntryCode = z.infer<typeof SetEntryCode>;
export const EndEntryCode = z.strictObject({ siteId: Id, keyId: Id, id: Id });
export type EndEntryCode = z.infer<typeof EndEntryCode>;
export const RevealEntryCode = z.strictObject({ keyId: Id, id: Id, visitId: Id });
export type RevealEntryCode = z.infer<typeof RevealEntryCode>;
export const RevealedCode = z.object({ keyId: Id, label: z.string(), code: z.string(), until: Instant });
export type RevealedCode = z.infer<typeof RevealedCode>;

/** What somebody who leaves still knows or holds: codes seen and not changed since, keys in their custody. */
export const LeaverReport = z.object({
  user: z.object({ id: Id, name: z.string(), disabledAt: Instant.nullable() }),
  codes: z.array(z.object({ keyId: Id, siteId: Id, siteName: z.string(), address: z.string(), label: z.string(), setAt: Instant, firstSeenAt: Instant, lastSeenAt: Instant, times: z.int() })),
  keys: z.array(z.object({ keyId: Id, siteId: Id, siteName: z.string(), kind: z.string(), label: z.string(), since: Instant })),
});
export type LeaverReport = z.infer<typeof LeaverReport>;

export const entryCodesRoutes = {
  entryCodes: route({ name: 'entryCodes', method: 'GET', path: '/api/sites/:siteId/entry-codes', summary: 'Which codes a site has, who saw them and when the asker may; never the codes', may: 'work', input: z.strictObject({ siteId: Id }), output: EntryCodes, problems: ['NotFound'] }),
  setEntryCode: route({ name: 'setEntryCode', method: 'POST', path: '/api/sites/:siteId/entry-codes', summary: 'Set a site\'s code, or a new one in place of the old; it is sealed and cannot be read back', may: 'plan', input: SetEntryCode, output: EntryCodes, problems: ['NotFound', 'IdReused', 'Unavailable'] }),
  endEntryCode: route({ name: 'endEntryCode', method: 'POST', path: '/api/sites/:siteId/entry-codes/:keyId/end', summary: 'This code opens nothing any more', may: 'plan', input: EndEntryCode, output: EntryCodes, problems: ['NotFound', 'IdReused'] }),
  revealEntryCode: route({ name: 'revealEntryCode', method: 'POST', path: '/api/entry-codes/:keyId/reveal', summary: `See a code: the visit's own technician only, from ${CODE_BEFORE_MIN} min before until ${CODE_AFTER_MIN} min after; each sight is recorded`, may: 'work', input: RevealEntryCode, output: RevealedCode, problems: ['NotFound', 'NotAllowed', 'WrongState', 'IdReused', 'Unavailable'] }),
  leaverReport: route({ name: 'leaverReport', method: 'GET', path: '/api/users/:userId/leaver-report', summary: 'Every site whose code a person saw and that was not changed since, and the keys they hold', may: 'own', input: z.strictObject({ userId: Id }), output: LeaverReport, problems: ['NotFound'] }),
};
