/** What a change would do to a site's exposure. Rules WHAT-1..4 in SPEC.md. */
import type { ComponentClass } from './component-classes.js';
import { hoursInWords, percent } from './sentences.js';
import type { RiskModel } from './fit-model.js';
import { scoreSite, type SiteScore } from './score-site.js';
import { type ComponentInput, RiskInputError, type ScoreWhen, type SiteInput } from './site-input.js';

/** A change to think about. */
export type SiteChange =
  /** A new one in its place today, proven on fitting. */
  | { readonly kind: 'replace-component'; readonly systemId: string; readonly componentId: string }
  /** A further path beside those there are, installed and proven today. */
  | { readonly kind: 'add-path'; readonly systemId: string; readonly class: Extract<ComponentClass, `path-${string}`>; readonly marginDb?: number }
  /** A proof every so many days, the next one not later than that. */
  | { readonly kind: 'prove-every'; readonly days: number }
  /** The next proof on another day. */
  | { readonly kind: 'visit-on'; readonly day: number };

/**
 * Both worlds. `savedH` is what `ofH` loses in unprotected hours; negative when the change makes it worse. `ofH` is the year ahead, for another
 * visiting day the time until the later of both days.
 */
export interface WhatIf {
  readonly before: SiteScore;
  readonly after: SiteScore;
  readonly ofH: number;
  readonly savedH: number;
  readonly savedShare: number;
  readonly sentence: string;
}

/** Compares a site as it is with the site after `change`. @throws RiskInputError when there is no such component or system. */
export function whatIf(model: RiskModel, site: SiteInput, change: SiteChange, when: ScoreWhen): WhatIf {
  const { site: changed, when: then, words } = apply(site, change, when);
  const before = scoreSite(model, site, when);
  const after = scoreSite(model, changed, then);
  const { ofH, leftH, span } = change.kind === 'visit-on' ? untilBothDays(model, site, when, change.day) : { ofH: before.yearAheadH, leftH: after.yearAheadH, span: 'in the year ahead' };
  const savedH = ofH - leftH;
  const savedShare = ofH > 0 ? savedH / ofH : 0;
  const effect = savedH >= 0 ? `takes ${hoursInWords(savedH)} (${percent(savedShare)}) off` : `adds ${hoursInWords(-savedH)} to`;
  return { before, after, ofH, savedH, savedShare, sentence: `${words} ${effect} the ${hoursInWords(ofH)} expected without protection ${span}` };
}

function untilBothDays(model: RiskModel, site: SiteInput, when: ScoreWhen, day: number): { ofH: number; leftH: number; span: string } {
  const later = Math.max(day, when.nextProofDay);
  const { curve, horizonDay } = scoreSite(model, site, { ...when, nextProofDay: later }, { gaps: false, curveDays: [when.nextProofDay, day] });
  const totalOf = (visit: number) => curve.find((point) => point.day === visit)?.totalToHorizonH ?? 0;
  return { ofH: totalOf(when.nextProofDay), leftH: totalOf(day), span: `in the next ${horizonDay - when.today} days` };
}

function apply(site: SiteInput, change: SiteChange, when: ScoreWhen): { site: SiteInput; when: ScoreWhen; words: string } {
  switch (change.kind) {
    case 'replace-component':
      return { site: withComponents(site, change.systemId, (all) => replaced(all, change.componentId, when.today)), when, words: `replacing ${labelOf(site, change)}` };
    case 'add-path': {
      const added = freshPath(change.class, change.marginDb ?? 20, when.today);
      return { site: withComponents(site, change.systemId, (all) => [...all, added]), when, words: 'adding a second path' };
    }
    case 'prove-every': {
      const nextProofDay = Math.min(when.nextProofDay, when.today + change.days);
      return { site, when: { ...when, nextProofDay, everyDays: change.days }, words: `proving every ${change.days} days` };
    }
    case 'visit-on':
      return { site, when: { ...when, nextProofDay: change.day }, words: `visiting in ${Math.max(0, change.day - when.today)} days` };
  }
}

function labelOf(site: SiteInput, { systemId, componentId }: { systemId: string; componentId: string }): string {
  const found = site.systems.find((system) => system.systemId === systemId)?.components.find((c) => c.id === componentId);
  return found === undefined ? componentId : found.label || found.class;
}

function withComponents(site: SiteInput, systemId: string, change: (all: readonly ComponentInput[]) => readonly ComponentInput[]): SiteInput {
  if (!site.systems.some((system) => system.systemId === systemId)) throw new RiskInputError(`site ${site.siteId}: no system ${systemId}`);
  return { ...site, systems: site.systems.map((system) => (system.systemId === systemId ? { ...system, components: change(system.components) } : system)) };
}

// A new one has no history of its own, but the place keeps its margin, environment and supervision.
function replaced(all: readonly ComponentInput[], componentId: string, today: number): readonly ComponentInput[] {
  if (!all.some((c) => c.id === componentId)) throw new RiskInputError(`no component ${componentId} in this system`);
  const fresh = { installedDay: today, lastProofDay: today, ageYears: 0, failures: 0, hoursInService: 0, marginalCount: 0, down: false, cohort: null };
  return all.map((c) => {
    if (c.id !== componentId) return c;
    // Proven on fitting: nothing of it was looked for at another time.
    const { looks: _, ...rest } = c;
    return { ...rest, ...fresh };
  });
}

function freshPath(cls: ComponentClass, marginDb: number, today: number): ComponentInput {
  return {
    id: 'what-if:path',
    class: cls,
    role: 'path',
    label: 'second path',
    installedDay: today,
    lastProofDay: today,
    failures: 0,
    hoursInService: 0,
    ageYears: 0,
    temperatureC: null,
    marginDb,
    marginalCount: 0,
    selfReported: true,
    supervisionH: null,
    coverage: 0.9,
    protects: null,
  };
}
