import type { EvidenceGrade, SubjectKind } from '@bellround/acceptance';
import { type DutyProof, type LocalDate, daysBetween } from '@bellround/recurrence';
import type { Rule } from './programme.js';

/** A recorded check, as far as crediting looks at it. A corrected check is not passed in; its correction is. */
export interface CreditableCheck {
  readonly id: string;
  readonly kind: string;
  readonly subjectKind: SubjectKind;
  readonly subjectId: string;
  readonly verdict: 'pass' | 'marginal' | 'fail' | 'excused' | 'not-done';
  readonly evidence: EvidenceGrade;
  /** Local date of the site. */
  readonly performedOn: LocalDate;
  readonly source: 'field' | 'import' | 'remote' | 'occupant';
  /** Licences that the person held on that day, by key. */
  readonly licences: readonly string[];
  /** Nothing was found and no reading was marginal; for cadences that lengthen. Default: verdict pass. */
  readonly clean?: boolean;
  /** Manufacture date of what is fitted after this check, read or newly fitted. Only this meets a duty of age. */
  readonly madeOn?: LocalDate | null;
}

/** Why a check is not credited, or null when it is. The words are shown beside the duty. */
export function notCreditedBecause(rule: Rule, check: CreditableCheck): string | null {
  const isShare = rule.cadence.kind === 'share';
  if (!rule.checkKinds.includes(check.kind)) return `another kind of check: ${check.kind}; this duty is met by ${rule.checkKinds.join(rule.meets === 'all' ? ' and ' : ' or ')}`;
  if (check.subjectKind !== (isShare ? 'device' : rule.subject)) return `done on a ${check.subjectKind}, owed by a ${rule.subject}`;
  if (check.verdict === 'not-done') return 'not done';
  if (check.verdict === 'excused') return 'excused: it failed for a recorded reason and is owed again';
  if (check.verdict === 'fail' && rule.credits === 'working') return 'failed: it was checked, but not proven to work';
  if (check.evidence > rule.minEvidence) return `evidence ${check.evidence} is below the ${rule.minEvidence} that this duty asks for`;
  if (check.evidence === 'D' && rule.mandated) return 'a quick look or an inherited record meets no mandated duty';
  if (rule.cadence.kind === 'age' && !check.madeOn) return 'an age is met by a replacement, or by reading a manufacture date that was unknown; this check names none';
  if (check.source === 'remote' && !rule.remotely) return 'done remotely; this duty needs a visit';
  if (check.source === 'occupant' && rule.by !== 'occupant') return 'done by the occupant; this duty needs a technician';
  if (rule.by === 'licensed' && !rule.licences.some((licence) => check.licences.includes(licence))) {
    return `needs a licence valid on ${check.performedOn}: ${rule.licences.join(' or ')}`;
  }
  return null;
}

/** Whether a check meets (or, for 'all', counts towards) the duty of a rule, by kind, subject, verdict, evidence, source and licence. */
export const credits = (rule: Rule, check: CreditableCheck): boolean => notCreditedBecause(rule, check) === null;

const isClean = (check: CreditableCheck): boolean => check.clean ?? check.verdict === 'pass';

/** The newest set of all the rule's kinds that closes on one day, or null. */
function wholeSet(rule: Rule, latest: ReadonlyMap<string, CreditableCheck>, on: LocalDate): readonly CreditableCheck[] | null {
  const set: CreditableCheck[] = [];
  for (const kind of rule.checkKinds) {
    const check = latest.get(kind);
    if (check === undefined || daysBetween(check.performedOn, on) > rule.completeWithinDays) return null;
    set.push(check);
  }
  return set;
}

/**
 * The proofs that one subject's checks give a rule, in order of date.
 * One kind is enough for 'any'. For 'all' the proof falls on the day of the last kind, if the others lie within
 * completeWithinDays before it; then a new set begins. For a share each day's credited devices are the proof's units.
 */
export function proofsOf(rule: Rule, checks: readonly CreditableCheck[]): DutyProof[] {
  return proofsOfCredited(rule, checks.filter((check) => credits(rule, check)));
}

/** The same out of checks that are known to be credited. */
export function proofsOfCredited(rule: Rule, credited: readonly CreditableCheck[]): DutyProof[] {
  const good = [...credited].sort((a, b) => (a.performedOn < b.performedOn ? -1 : a.performedOn > b.performedOn ? 1 : a.id < b.id ? -1 : 1));
  if (rule.cadence.kind === 'share') {
    const days = new Map<LocalDate, CreditableCheck[]>();
    for (const check of good) days.set(check.performedOn, [...(days.get(check.performedOn) ?? []), check]);
    return [...days].map(([on, list]) => ({ on, ref: (list.at(-1) as CreditableCheck).id, units: [...new Set(list.map((check) => check.subjectId))] }));
  }
  if (rule.meets === 'any' || rule.checkKinds.length === 1) {
    return good.map((check) => ({ on: check.performedOn, ref: check.id, clean: isClean(check), ...(rule.cadence.kind === 'age' ? { basisOn: check.madeOn ?? null } : {}) }));
  }
  const proofs: DutyProof[] = [];
  const latest = new Map<string, CreditableCheck>();
  for (const check of good) {
    latest.set(check.kind, check);
    const set = wholeSet(rule, latest, check.performedOn);
    if (set === null) continue;
    proofs.push({ on: check.performedOn, ref: check.id, clean: set.every(isClean) });
    latest.clear();
  }
  return proofs;
}
