import { missingProofs, type Judgement } from '@bellround/acceptance';
import { Refusal, type Evidence } from '@bellround/contracts';
import { checkDefinition } from '@bellround/programmes';
import { subjectNames } from '../installed.js';
import type { Act, Ctx } from '../perform.js';
import { own } from '../steps.js';
import { visitOwed, type Visit } from '../visits/steps.js';
import { delayedRows, roundTripOf } from './steps.js';

type Item = Evidence['missing'][number];

/** SIG-OP-8. What a visit's proof lacks, one by one, each with who can still supply it; never a score, empty when nothing is missing. */
export const showEvidence: Act<{ visitId: string }, Evidence> = async (ctx, input) => {
  const visit = await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } }, include: { site: true } });
  if (!visit) throw new Refusal('NotFound', 'There is no visit by that id.');
  return { missing: [...await ofChecks(ctx, visit), ...await ofSignals(ctx, visit), ...await ofVisit(ctx, visit)] };
};

/** What each check that still counts lacks: readings, the station's word, an instrument that holds, answers to what it had to provoke. */
async function ofChecks(ctx: Ctx, visit: Visit): Promise<Item[]> {
  const checks = await ctx.tx.db.check.findMany({ where: { ...own(ctx), visitId: visit.id, corrections: { none: {} } }, orderBy: [{ performedAt: 'asc' }, { id: 'asc' }] });
  const last = [...new Map(checks.map((check) => [`${check.subjectId} ${check.checkKind}`, check])).values()];
  const names = await subjectNames(ctx, last);
  return last.flatMap((check): Item[] => {
    const definition = checkDefinition(check.checkKind);
    if (!definition || check.computedVerdict === null) return [];
    const what = `${names.get(check.subjectId) ?? check.subjectKind}: ${definition.title}`;
    const told = check.judgement as { missing?: string[]; applicable?: boolean; reliable?: boolean; responses?: { what: string; where: string; verdict: string; words: string }[] };
    const judgement = { verdict: check.computedVerdict, missing: told.missing ?? [], applicable: told.applicable ?? true, reliable: told.reliable ?? true, evidence: check.evidence } as unknown as Judgement;
    const proofs = missingProofs(definition, judgement).map((one): Item => ({ key: `${check.id} ${one.key}`, what, words: one.words, who: one.who, checkId: check.id }));
    const responses = (told.responses ?? []).filter((one) => one.verdict === 'not-answered' || one.verdict === 'not-provable')
      .map((one): Item => ({ key: `${check.id} ${one.what}`, what, words: one.words, who: one.where === 'station' ? 'station' : 'technician', checkId: check.id }));
    return [...proofs, ...responses];
  });
}

async function ofSignals(ctx: Ctx, visit: Visit): Promise<Item[]> {
  const { shown } = await roundTripOf(ctx, visit);
  const item = (key: string, what: string, words: string, who: Item['who'], checkId: string | null = null): Item => ({ key, what, words, who, checkId });
  const steps = shown.steps.filter((step) => step.verdict !== 'right');
  const isUnread = shown.events.length === 0 && shown.steps.length > 0;
  return [
    ...(isUnread ? [item('history', 'The station’s history of this visit', `${shown.steps.length} steps were tripped and no event of the station was taken: read its history.`, 'station')] : steps.map((step) => item(`step ${step.checkId}`, `${step.subjectName}: arrival`, step.words, step.verdict === 'pending' ? 'time' : step.verdict === 'wrong-text' ? 'station' : 'technician', step.checkId))),
    ...(!isUnread && shown.steps.length > 0 && shown.recorded === null ? [item('comparison', 'The comparison with the station', 'It is shown and not recorded: record it, so that it counts.', 'office')] : []),
    ...shown.cantTell.map((one, at) => item(`cant ${at}`, `${one.subjectName}: arrival`, `Can’t tell: ${one.words}.`, 'office')),
    ...(await delayedRows(ctx, { check: { visitId: visit.id } })).filter((row) => row.state !== 'heard').map((row) => item(`delayed ${row.id}`, `${row.subjectName}: ${row.what}`, row.state === 'waiting' ? `May still come until ${row.dueAt}.` : 'Its time is over and it was not heard; a deficiency is open.', row.state === 'waiting' ? 'time' : 'technician')),
  ];
}

async function ofVisit(ctx: Ctx, visit: Visit): Promise<Item[]> {
  const owed = await visitOwed(ctx, visit);
  const signed = await ctx.tx.db.visitFact.findMany({ where: { ...own(ctx), visitId: visit.id, kind: { in: ['signed', 'closed'] } } });
  const isSigned = signed.some((fact) => fact.kind === 'signed' || (fact.detail as { signedBy?: string | null }).signedBy);
  const at = (words: string): Item['who'] => (visit.state === 'open' ? 'technician' : words === 'sign' ? 'customer' : 'office');
  return [
    ...owed.duties.map((duty): Item => ({ key: `duty ${duty.id}`, what: `${duty.subjectName}: ${duty.title}`, words: `Not proven by this visit${duty.lapses ? `; lapses ${duty.lapses}` : ''}.`, who: at('duty'), checkId: null })),
    ...(owed.liveProofMissing ? [{ key: 'live', what: 'Live proof', words: 'One real signal after the hold, seen by the station as live.', who: at('live'), checkId: null }] : []),
    ...(visit.openedAt !== null && !isSigned ? [{ key: 'signature', what: 'Signature', words: 'Nobody has signed for the visit.', who: 'customer' as const, checkId: null }] : []),
  ];
}
