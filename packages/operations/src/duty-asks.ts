import type { Programme } from '@bellround/programmes';
import type { Subject } from './installed.js';

// What a duty asks for in checks. Shared by the visit and by picking for one; no act.

export interface Ask { readonly subjectId: string; readonly checkKinds: readonly string[] }
interface AskingDuty { readonly subjectId: string; readonly systemId: string; readonly ruleKey: string; readonly cadence: unknown; readonly checkKinds: readonly string[]; readonly application: { readonly programme: { readonly body: unknown } } }

/** A duty that asks for all of its kinds asks for each; one of a share asks the same of every device of its population. */
export function asksOf(duty: AskingDuty, subjects: readonly Subject[]): Ask[] {
  const rule = (duty.application.programme.body as Partial<Programme>).rules?.find((one) => one.key === duty.ruleKey);
  const kinds = rule?.applies.deviceKinds as readonly string[] | undefined;
  const isShare = (duty.cadence as { kind?: string }).kind === 'share';
  const on = isShare ? subjects.filter((one) => one.kind === 'device' && one.systemId === duty.systemId && (!kinds || kinds.includes(one.deviceKind ?? ''))).map((one) => one.id) : [duty.subjectId];
  return on.flatMap((subjectId) => (rule?.meets === 'all' ? duty.checkKinds.map((kind) => ({ subjectId, checkKinds: [kind] })) : [{ subjectId, checkKinds: duty.checkKinds }]));
}
