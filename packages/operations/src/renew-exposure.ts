import { fitVersion, type ClassHistory } from '@bellround/risk';
import { loadRiskHistory } from './exposure/load-risk-history.js';
import { presentRiskVersion } from './exposure/present-risk-version.js';
import { saveRiskVersion } from './exposure/save-risk-version.js';
import { scoreCompany } from './exposure/score-company.js';
import type { RiskRecords } from './exposure/steps.js';
import type { Perform, Who } from './perform.js';

/** Failures and hours are added, component records and battery lives put end to end. */
function joinHistory(into: Map<string, ClassHistory>, more: readonly ClassHistory[]): void {
  for (const one of more) {
    const before = into.get(one.class);
    if (before === undefined) into.set(one.class, { ...one, perComponent: [...(one.perComponent ?? [])], lives: [...(one.lives ?? [])], agesYears: [...(one.agesYears ?? [])] });
    else {
      const [per, lives] = [before.perComponent as object[], before.lives as object[]];
      for (const record of one.perComponent ?? []) per.push(record);
      for (const life of one.lives ?? []) lives.push(life);
      for (const age of one.agesYears ?? []) (before.agesYears as number[]).push(age);
      into.set(one.class, { ...before, failures: before.failures + one.failures, hoursInService: before.hoursInService + one.hoursInService });
    }
  }
}

/**
 * Fits the company's rates to its history in acts of one batch each, judges the new version outside any transaction, and keeps it: promoted,
 * or refused with its report. `seed` is for the intervals of the report.
 */
export async function fitCompany(perform: Perform, who: Who, seed = 1): Promise<{ modelId: string; version: string; isNew: boolean; promoted: boolean; why: string }> {
  const present = await perform(presentRiskVersion, who, {});
  const [history, before] = [new Map<string, ClassHistory>(), new Map<string, ClassHistory>()];
  const all: Pick<RiskRecords, 'window' | 'held' | 'cases' | 'learn'> = { window: null, held: null, cases: [], learn: [] };
  for (let after: string | null = null; ;) {
    const batch: { records: RiskRecords; next: string | null } = await perform(loadRiskHistory, who, { afterSiteId: after });
    joinHistory(history, batch.records.history);
    joinHistory(before, batch.records.before);
    for (const one of batch.records.cases) all.cases.push(one);
    for (const one of batch.records.learn) all.learn.push(one);
    all.window = batch.records.window;
    all.held = batch.records.held;
    if (batch.next === null) break;
    after = batch.next;
  }
  const held = all.held === null ? null : { window: all.held, history: [...before.values()], cases: all.cases, learn: all.learn };
  const fitted = fitVersion([...history.values()], held, present, { seed, ...(all.window === null ? {} : { window: all.window }) });
  return perform(saveRiskVersion, who, { fitted, presentId: present?.id ?? null });
}

/** Every site scored by the version in use, batch by batch, each batch an act of its own. */
export async function scoreWholeCompany(perform: Perform, who: Who): Promise<number> {
  let scored = 0;
  for (let after: string | null = null; ;) {
    const batch: { scored: number; next: string | null } = await perform(scoreCompany, who, { afterSiteId: after });
    scored += batch.scored;
    if (batch.next === null) return scored;
    after = batch.next;
  }
}
