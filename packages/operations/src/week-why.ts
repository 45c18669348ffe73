import { Refusal, type WeekVisit, type WhyVisit } from '@bellround/contracts';
import { bestPlaces, explainUnplaced, moveEffect, whyHere, type Technician, type Visit, type WeekPlan, type WeekProblem } from '@bellround/planning';
import { dayInWords } from './reminders/steps.js';
import { nameOf, roundOf } from './week-answer.js';
import { visitIdOf } from './week-parts.js';
import { clockText, type LoadedWeek } from './week-problem.js';

/**
 * Why a visit stands where it stands: who may do it, on which days, what was agreed or pinned, what the next best places would
 * cost more, and what leaving it out would change. For one that is left out: the binding rule and the nearest places.
 */
export function whyIn({ week, problem, plan, visitId, reasons }: { week: LoadedWeek; problem: WeekProblem; plan: WeekPlan; visitId: string; reasons: readonly { visitId: string; words: string }[] }): WhyVisit {
  const visit = problem.visits.find((one) => one.id === visitId) ?? problem.visits.find((one) => visitIdOf(one.id) === visitId && one.errand === undefined);
  const shown = week.visits.find((one) => one.id === visitIdOf(visitId));
  if (!visit || !shown) {
    const stored = reasons.find((one) => one.visitId === visitIdOf(visitId));
    if (!stored) throw new Refusal('NotFound', 'This visit is not waiting to be planned in this week.');
    return { visitId, siteName: nameOf(week, visitId), here: null, reasons: [stored.words], without: null, places: [] };
  }
  const names = new Map(week.technicians.map((one) => [one.id, one.name]));
  const round = roundOf(plan, visit.id);
  const stop = round?.stops.find((one) => one.visitId === visit.id);
  const places = bestPlaces(problem, plan, visit, 6).map((place) => ({ ...place, technicianName: names.get(place.technicianId) ?? '' }));
  const here = round && stop ? { technicianId: round.technicianId, technicianName: names.get(round.technicianId) ?? '', day: round.day, startMin: stop.startMin } : null;
  const without = here ? moveEffect(problem, plan, { visitId: visit.id, technicianId: null }).delta.filter((term) => Math.abs(term.change) > 0.004) : null;
  return {
    visitId, siteName: shown.siteName, here, places, without: without === null ? null : [...without],
    reasons: [...(here ? (whyHere(problem, plan, visit.id)?.words ?? []) : [outReason(problem, plan, visit, reasons.find((one) => one.visitId === shown.id)?.words)]), ...askedOf(problem, visit, shown)],
  };
}

function outReason(problem: WeekProblem, plan: WeekPlan, visit: Visit, stored: string | undefined): string {
  return explainUnplaced(problem, plan, visit.id)?.words ?? stored ?? 'It can be placed: nothing keeps it out now.';
}

/** What the visit asks, each as a fact of who and when is left. */
function askedOf(problem: WeekProblem, visit: Visit, shown: WeekVisit): string[] {
  const able = problem.technicians.filter((one) => !one.pairOnly && (visit.skills ?? []).every((skill) => one.skills.includes(skill)));
  const licensed = able.filter((one) => (visit.licences ?? []).every((kind) => holds(one, kind, problem.days)));
  const days = [...new Set(visit.windows.map((window) => window.day))];
  const hours = visit.windows.slice(0, 3).map((window) => `${dayInWords(window.day)} ${clockText(window.startMin)} to ${clockText(window.endMin)}`);
  return [
    `${able.length} of ${problem.technicians.length} technicians have the skills${(visit.skills ?? []).length > 0 ? ` (${visit.skills!.join(', ')})` : ''}${(visit.licences ?? []).length > 0 ? `; ${licensed.length} hold the licences (${visit.licences!.join(', ')}) on a day of this week` : ''}${visit.persons === 2 ? '; two people are needed at once' : ''}.`,
    days.length === 0 ? 'The site gives no access on any day that is left of this week.' : `It can start on ${days.length} ${days.length === 1 ? 'day' : 'days'}: ${hours.join('; ')}${visit.windows.length > 3 ? `; and ${visit.windows.length - 3} more windows` : ''}.`,
    ...(shown.promise ? [`Agreed with the client: ${shown.promise}.`] : []),
    ...(visit.pinned ? ['A dispatcher pinned it, so the plan may not move it.'] : []),
    ...(shown.overdue ? ['One of its duties is lapsed already or cannot be told, so it goes before what can wait.'] : shown.lapsesOn !== null && visit.lapseDay ? [`A mandated duty lapses after ${dayInWords(shown.lapsesOn)}; nothing else may outweigh that.`] : []),
  ];
}

function holds(technician: Technician, kind: string, days: readonly string[]): boolean {
  return technician.licences.some((one) => one.kind === kind && days.some((day) => one.from <= day && day <= one.to));
}
