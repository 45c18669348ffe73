import { Refusal, type Comparison, type MoveAnswer, type MoveInput, type PlaceUrgent, type PlanHead, type RankUrgent, type SqueezeView, type WeekAnswer, type WeekQuestion, type WhyVisit } from '@bellround/contracts';
import type { Perform, Who } from './perform.js';
import { loadQuestion } from './planning/load-question.js';
import { loadSqueeze } from './planning/load-squeeze.js';
import { loadToPublish } from './planning/load-to-publish.js';
import { loadUrgent } from './planning/load-urgent.js';
import { saveAnswer } from './planning/save-answer.js';
import { saveMove } from './planning/save-move.js';
import { savePublished } from './planning/save-published.js';
import { saveUrgent } from './planning/save-urgent.js';
import { planHead } from './planning/steps.js';
import { tellAnswer } from './planning/tell-answer.js';
import { unplacedRows } from './week-answer.js';
import type { Compute, Place } from './week-tasks.js';

// The dispatcher's questions to a plan: loaded in one act, computed outside any transaction, told or saved in a second act, which
// throws Stale when the plan changed meanwhile.

/** How a door runs acts, and where it computes. */
export interface Means { readonly perform: Perform; readonly compute: Compute }

/** The repair that moves fewest visits, and whom to call about it. Nothing is changed: the same question can be kept as a draft. */
export async function askWeek({ perform, compute }: Means, who: Who, input: { planId: string; question: WeekQuestion }): Promise<WeekAnswer> {
  const { row, week, plan } = await perform(loadQuestion, who, { planId: input.planId });
  const { plan: _plan, finishes: _finishes, legs: _legs, ...answer } = await compute('answer', { week, plan, question: input.question });
  return { ...answer, calls: await perform(tellAnswer, who, { planId: row.id, revision: row.revision, week, changes: answer.changes }) };
}

/** Keeps that repair as a draft, and what was said as a fact. The same id again answers the same draft. */
export async function keepAnswer({ perform, compute }: Means, who: Who, input: { planId: string; newPlanId: string; question: WeekQuestion }): Promise<PlanHead> {
  const { before, row, week, plan } = await perform(loadQuestion, who, { planId: input.planId, newPlanId: input.newPlanId });
  if (before) return before;
  const made = await compute('answer', { week, plan, question: input.question });
  return perform(saveAnswer, who, { planId: row.id, newPlanId: input.newPlanId, revision: row.revision, question: input.question, title: made.title, week, made });
}

/** Where a visit fits best in a plan as it stands, ranked. */
export async function bestPlacesFor({ perform, compute }: Means, who: Who, input: { planId: string; visitId: string }): Promise<{ rows: Place[] }> {
  const { week, plan } = await perform(loadQuestion, who, { planId: input.planId });
  return { rows: await compute('places', { week, plan, visitId: input.visitId }) };
}

export async function whyVisit({ perform, compute }: Means, who: Who, input: { planId: string; visitId: string }): Promise<WhyVisit> {
  const { week, plan, reasons } = await perform(loadQuestion, who, { planId: input.planId });
  return compute('why', { week, plan, visitId: input.visitId, reasons: reasons.map(({ visitId, words }) => ({ visitId, words })) });
}

/** The best places of a plan for an urgent visit that does not exist yet, cheapest first; places that break a rule come after. */
export async function rankUrgent({ perform, compute }: Means, who: Who, input: RankUrgent): Promise<{ rows: Place[] }> {
  const loaded = await perform(loadUrgent, who, { planId: input.planId, siteId: input.siteId });
  if (loaded.before !== null) return { rows: [] };
  return { rows: await compute('rank', { week: loaded.week, plan: loaded.plan, site: loaded.site, asked: input }) };
}

/** Makes the urgent visit in a draft of its own. Throws RuleBroken with each rule in words when it cannot stand there; then nothing is kept. */
export async function placeUrgent({ perform, compute }: Means, who: Who, input: PlaceUrgent): Promise<PlanHead> {
  const label = `urgent: ${input.title}`;
  const loaded = await perform(loadUrgent, who, { planId: input.planId, siteId: input.siteId, newDraft: { id: input.newPlanId, label, visitId: input.visitId } });
  if (loaded.before !== null) return loaded.before;
  const { row, week, plan, site } = loaded;
  const made = await compute('urgent', { week, plan, site, asked: input, visitId: input.visitId, spot: input });
  if (made.broken.length > 0) throw new Refusal('RuleBroken', made.broken.join('; '), { data: { broken: made.broken } });
  return perform(saveUrgent, who, { asked: input, label, revision: row.revision, siteName: site.name, week, made });
}

/**
 * Moves a visit in a draft, or only says what the move would do. A move that breaks a rule is never saved; the answer or
 * the refusal names each rule in words.
 */
export async function moveStop({ perform, compute }: Means, who: Who, input: MoveInput & { preview: boolean }): Promise<MoveAnswer> {
  const { row, week, plan } = await perform(loadQuestion, who, { planId: input.planId, revision: input.revision });
  if (row.state !== 'draft' && !(input.preview && row.state === 'published')) throw new Refusal('WrongState', `This plan is ${row.state}; only a draft is changed. Compute or copy a new draft first.`);
  const made = await compute('move', { week, plan, to: input, finishes: !input.preview });
  if (!input.preview && made.broken.length > 0) throw new Refusal('RuleBroken', made.broken.join('; '), { data: { broken: made.broken } });
  const head = input.preview ? planHead(row) : await perform(saveMove, who, { planId: row.id, revision: input.revision, to: input, week, made });
  return { plan: head, rounds: [...made.plan.rounds], delta: made.delta, broken: made.broken, unplaced: [...unplacedRows(made.plan), ...week.unplannable] };
}

/** Two plans of one week side by side. Throws WrongState for plans of two weeks. */
export async function comparePlansOf({ perform, compute }: Means, who: Who, input: { planId: string; otherPlanId: string }): Promise<Comparison> {
  const left = await perform(loadQuestion, who, { planId: input.planId });
  const right = await perform(loadQuestion, who, { planId: input.otherPlanId });
  if (right.week.weekStart !== left.week.weekStart) throw new Refusal('WrongState', `These plans are of two weeks (${left.week.weekStart} and ${right.week.weekStart}); only plans of one week are compared.`);
  return { left: planHead(left.row), right: planHead(right.row), ...await compute('compare', { week: left.week, left: left.plan, right: right.plan }) };
}

/** The proof that the work of the coming weeks cannot be done, if there is one, and ways out that were checked again. */
export async function showSqueeze({ perform, compute }: Means, who: Who, input: { from?: string | undefined; days: number; counting: 'visit' | 'checks' }): Promise<SqueezeView> {
  return compute('squeeze', await perform(loadSqueeze, who, input));
}

/** How often facts may change under a plan that is being checked. */
const MOST_CHECKS = 4;

/**
 * Makes a draft the week's rounds. Every hard rule is checked by the engine's independent checker on the facts of now (a licence may have
 * lapsed, an absence been entered since); when they change while it checks, it checks again. A published plan is answered as it is.
 */
export async function publishPlan({ perform, compute }: Means, who: Who, input: { planId: string; revision: number }): Promise<PlanHead> {
  for (let n = 0; n < MOST_CHECKS; n++) {
    const { row, week, plan, stopIds, facts } = await perform(loadToPublish, who, { planId: input.planId });
    if (row.state === 'published') return planHead(row);
    if (row.state === 'draft' && row.revision === input.revision) {
      const { broken, gone } = await compute('check', { week, plan, stopIds });
      if (gone > 0) throw new Refusal('Stale', `${gone} visits of this plan have begun, ended or been withdrawn since it was computed. Compute the plan again.`);
      if (broken.length > 0) throw new Refusal('RuleBroken', broken.join('; '), { data: { broken } });
    }
    const published = await perform(savePublished, who, { ...input, checked: facts });
    if (published !== null) return published;
  }
  throw new Refusal('Stale', 'What this plan is checked on changes faster than it can be checked. Try again in a moment.');
}
