import { judge, type CheckFacts, type Judgement } from '@bellround/acceptance';
import { checkDefinition, dutiesFor, type InstalledSystem, type Programme } from '@bellround/programmes';
import { addDays, addMonths, daysBetween, weekdayOf, type Cadence } from '@bellround/recurrence';
import { makeBattery, type Day, type DemoBattery, type DemoDevice, type DemoPath, type DemoSite, type DemoSystem } from './fleet.js';
import type { Draw } from './random.js';
import { readingsOf, type Condition } from './readings.js';

export interface DemoVisit { id: string; siteId: string; title: string; day: Day; technicianId: string; serviceMin: number; kind: 'programme' | 'retest' }
export interface DemoCheck { id: string; visitId: string; siteId: string; systemId: string; subjectKind: string; subjectId: string; checkKind: string; day: Day; minute: number; technicianId: string; judgement: Judgement; readings: Record<string, number | string | boolean | null>; corrects: null }
export interface DemoDeficiency { id: string; siteId: string; systemId: string; subjectKind: string; subjectId: string; checkKind: string; severity: 'impairment' | 'critical' | 'non-critical' | 'observation'; title: string; raisedBy: string; raisedOn: Day; dueOn: Day; closedBy: string | null; closedOn: Day | null; words: string; closeWords: string | null }
export interface DemoHistory { visits: DemoVisit[]; checks: DemoCheck[]; deficiencies: DemoDeficiency[] }

const YEARS = 3;
/** Rated float voltage of the invented company's supplies; also its company rule. */
export const SUPPLY_RATED_MV = 13_800;
interface Target { subjectKind: string; subjectId: string; checkKind: string; yearly: boolean; minutes: number }

/** Three years of visits at one site: checks judged by the product's own engine, failures mended or still open. */
export function makeHistory(draw: Draw, today: Day, site: DemoSite, programmes: Readonly<Record<DemoSystem['kind'], Programme>>, technicianFor: (kind: DemoSystem['kind']) => string): DemoHistory {
  const history: DemoHistory = { visits: [], checks: [], deficiencies: [] };
  if (site.inherited) return history;
  const days = visitDays(draw, today, site);
  days.forEach((day, index) => {
    const fire = site.systems.some((system) => system.kind !== 'intrusion');
    const technicianId = technicianFor(fire ? 'fire' : 'intrusion');
    const visit: DemoVisit = { id: draw.id(), siteId: site.id, title: index % 2 === 0 ? 'Yearly service visit' : 'Half-yearly service visit', day, technicianId, serviceMin: 25, kind: 'programme' };
    history.visits.push(visit);
    let minute = draw.int(8 * 60 + 20, 13 * 60);
    for (const system of site.systems) {
      for (const target of targetsOf(system, programmes[system.kind], day).filter((one) => index % 2 === 0 || !one.yearly)) {
        minute += target.minutes + 1;
        visit.serviceMin += target.minutes;
        const check = makeCheck(draw, site, system, visit, target, day, minute);
        history.checks.push(check);
        if (check.judgement.verdict === 'fail') mend(draw, today, site, system, check, index === days.length - 1, history, technicianId);
      }
    }
  });
  return history;
}

function visitDays(draw: Draw, today: Day, site: DemoSite): Day[] {
  const days: Day[] = [];
  const step = { good: [158, 196], loose: [170, 262], left: [165, 215] }[site.punctuality];
  const last = addDays(today, site.punctuality === 'left' ? -draw.int(240, 430) : -3);
  for (let day = addDays(addMonths(today, -12 * YEARS), draw.int(0, 175)); day < last; day = addDays(day, draw.int(step[0]!, step[1]!))) {
    const weekday = weekdayOf(day);
    days.push(weekday > 5 ? addDays(day, 8 - weekday) : day);
  }
  return days.filter((day) => day < addDays(today, -1));
}

/** What a visit of that day does on a system: each check kind on each subject once, yearly ones told apart. */
function targetsOf(system: DemoSystem, programme: Programme, day: Day): Target[] {
  const targets = new Map<string, Target>();
  for (const spec of dutiesFor(programme, installed(system, day), day)) {
    if (spec.by === 'occupant' || spec.cadence.kind === 'age') continue;
    for (const checkKind of spec.checkKinds) {
      if (checkKind === 'periodic-signal') continue;
      const key = `${spec.subjectId} ${checkKind}`;
      const yearly = nominalMonths(spec.cadence) >= 10;
      const before = targets.get(key);
      targets.set(key, { subjectKind: spec.subjectKind, subjectId: spec.subjectId, checkKind, yearly: yearly && (before?.yearly ?? true), minutes: Math.max(spec.minutes, before?.minutes ?? 0) });
    }
  }
  return [...targets.values()];
}

function nominalMonths(cadence: Cadence): number {
  if (cadence.kind !== 'since-last') return 12;
  return 'months' in cadence.nominal ? cadence.nominal.months : cadence.nominal.days / 30;
}

function installed(system: DemoSystem, day: Day): InstalledSystem {
  const fitted = (one: { fittedOn?: Day | null; installedOn?: Day | null; removedOn?: Day | null }) => (one.fittedOn ?? one.installedOn ?? day) <= day && (!one.removedOn || one.removedOn > day);
  return {
    id: system.id, siteId: system.siteId, kind: system.kind, grade: system.grade, installedOn: system.installedOn, monitored: true,
    devices: system.devices.filter(fitted).map((device) => ({ id: device.id, kind: device.kind, link: device.link, madeOn: device.madeOn, installedOn: device.installedOn, removedOn: null })),
    paths: system.paths.map((path) => ({ id: path.id, technology: path.technology, category: path.category, installedOn: path.installedOn, removedOn: null })),
    batteries: system.batteries.filter(fitted).map((battery) => ({ id: battery.id, chemistry: 'lead-acid-sealed' as const, madeOn: battery.madeOn, installedOn: battery.fittedOn, fittedOn: battery.fittedOn, deviceId: null, removedOn: battery.removedOn })),
  } as unknown as InstalledSystem;
}

function makeCheck(draw: Draw, site: DemoSite, system: DemoSystem, visit: DemoVisit, target: Target, day: Day, minute: number, cured = false): DemoCheck {
  const definition = checkDefinition(target.checkKind);
  if (!definition) throw new Error(`the catalogue has no check ${target.checkKind}`);
  const device = system.devices.find((one) => one.id === target.subjectId);
  const battery = system.batteries.find((one) => one.id === target.subjectId);
  const path = system.paths.find((one) => one.id === target.subjectId);
  const readings = readingsOf(draw, target.checkKind, cured ? {} : conditionOf(draw, day, device, battery, path));
  const judgement = judge(definition, readings, factsOf(system, device, battery, path), day);
  return { id: draw.id(), visitId: visit.id, siteId: site.id, systemId: system.id, subjectKind: target.subjectKind, subjectId: target.subjectId, checkKind: target.checkKind, day, minute, technicianId: visit.technicianId, judgement, readings, corrects: null };
}

const MENDED_MARGIN_DB = 22;
const MENDED_LOSS_DB = 0.3;
const yearsSince = (from: Day | null, day: Day) => (from === null ? 4 : Math.max(0, daysBetween(from, day) / 365.25));

function conditionOf(draw: Draw, day: Day, device: DemoDevice | undefined, battery: DemoBattery | undefined, path: DemoPath | undefined): Condition {
  if (battery) {
    const age = yearsSince(battery.madeOn, day);
    return { ageYears: age, capacityPct: Math.max(30, Math.min(102, 100 - 20 * (age / battery.lifeYears) ** 2.2 + draw.bell(0, 1.2))) };
  }
  if (device) return { marginDb: device.marginAtFitDb - device.lossPerYearDb * yearsSince(device.installedOn, day) + draw.bell(0, 0.8), dead: draw.chance(device.weak ? 0.03 : 0.006) };
  // only radio has a level; drawn for every path, so that what follows does not shift
  const marginDb = path ? 26 + draw.bell(0, 2) : 0;
  if (path) return { ...(path.technology === 'cellular' ? { marginDb } : {}), dead: path.dropsOn !== null && draw.chance(0.35) };
  return { dead: draw.chance(0.004) };
}

function factsOf(system: DemoSystem, device: DemoDevice | undefined, battery: DemoBattery | undefined, path: DemoPath | undefined): CheckFacts {
  if (battery) {
    return {
      battery: { chemistry: 'lead-acid-sealed', nominalMv: 12_000, ratedMah: battery.ratedMah, ...(battery.madeOn ? { madeOn: battery.madeOn } : {}) },
      load: { standbyMa: system.standbyMa, alarmMa: system.alarmMa, standbyH: system.standbyHours, alarmMin: system.alarmMin, allowance: 1.25 },
    } as CheckFacts;
  }
  if (device) return { deviceKind: device.kind };
  if (path) return { path: { technology: path.technology, order: path.rank === 1 ? 'primary' : 'alternate', registered: true } };
  return { supply: { ratedMv: SUPPLY_RATED_MV } };
}

const SEVERITY: Readonly<Record<string, DemoDeficiency['severity']>> = { 'battery-on-load': 'critical', 'transmission-path': 'impairment', 'smoke-functional': 'impairment', 'heat-functional': 'critical', 'call-point': 'critical', 'co-functional': 'impairment', 'detector-actuation': 'critical', 'supply-voltage': 'critical', 'mains-supply': 'impairment', 'sounder-level': 'critical' };
const DUE_DAYS = { impairment: 1, critical: 14, 'non-critical': 60, observation: 180 } as const;

/** A failed check raises a deficiency; most were mended within weeks, those of the last visit often not yet. */
function mend(draw: Draw, today: Day, site: DemoSite, system: DemoSystem, check: DemoCheck, isLast: boolean, history: DemoHistory, technicianId: string): void {
  const severity = SEVERITY[check.checkKind] ?? 'non-critical';
  const label = system.devices.find((one) => one.id === check.subjectId)?.label ?? system.batteries.find((one) => one.id === check.subjectId)?.label ?? system.paths.find((one) => one.id === check.subjectId)?.label ?? system.name;
  const deficiency: DemoDeficiency = {
    id: draw.id(), siteId: site.id, systemId: system.id, subjectKind: check.subjectKind, subjectId: check.subjectId, checkKind: check.checkKind, severity, title: `${label}: ${check.judgement.reason}`.slice(0, 180),
    raisedBy: check.id, raisedOn: check.day, dueOn: addDays(check.day, DUE_DAYS[severity]), closedBy: null, closedOn: null, words: check.judgement.reason, closeWords: null,
  };
  history.deficiencies.push(deficiency);
  const fixedOn = addDays(check.day, severity === 'impairment' ? draw.int(1, 3) : draw.int(6, 40));
  if (fixedOn >= addDays(today, -1) || (isLast && draw.chance(0.45))) return;
  const weekday = weekdayOf(fixedOn);
  const day = weekday > 5 ? addDays(fixedOn, 8 - weekday) : fixedOn;
  if (day >= today) return;
  let subjectId = check.subjectId;
  const battery = system.batteries.find((one) => one.id === check.subjectId);
  if (battery) {
    const fresh = makeBattery(draw, system, day, system.batteries.length + 1);
    battery.removedOn = day;
    battery.replacedById = fresh.id;
    system.batteries.push(fresh);
    subjectId = fresh.id;
  }
  const path = system.paths.find((one) => one.id === check.subjectId);
  if (path) path.dropsOn = null;
  // A link put right stays right: the device hangs where it is heard well from then on. Else it would fail again each year with a good margin on record.
  const device = system.devices.find((one) => one.id === check.subjectId);
  if (device && check.checkKind === 'wireless-margin') Object.assign(device, { marginAtFitDb: MENDED_MARGIN_DB + MENDED_LOSS_DB * yearsSince(device.installedOn, day), lossPerYearDb: MENDED_LOSS_DB });
  const visit: DemoVisit = { id: draw.id(), siteId: site.id, title: `Put right: ${label}`, day, technicianId, serviceMin: 40, kind: 'retest' };
  const retest = makeCheck(draw, site, system, visit, { subjectKind: check.subjectKind, subjectId, checkKind: check.checkKind, yearly: false, minutes: 10 }, day, draw.int(540, 900), subjectId === check.subjectId);
  if (retest.judgement.verdict === 'fail') return;
  history.visits.push(visit);
  history.checks.push(retest);
  Object.assign(deficiency, { closedBy: retest.id, closedOn: day, closeWords: battery ? 'Battery replaced; the new one was proven on load' : 'Mended; the same check was done again and passed' });
}
