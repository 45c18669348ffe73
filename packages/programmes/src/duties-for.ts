import type { DeviceKind, DeviceLink, PathTechnology, SubjectKind } from '@bellround/acceptance';
import { type Cadence, type LocalDate, type PopulationUnit, governing, timeline } from '@bellround/recurrence';
import type { BatteryChemistry, Programme, ProgrammeSystemKind, Rule } from './programme.js';

/** One system with what is installed in it, as far as programmes look at it. Dates are local; null is unknown. */
export interface InstalledSystem {
  readonly id: string;
  readonly siteId: string;
  readonly kind: ProgrammeSystemKind;
  readonly grade: string | null;
  readonly installedOn: LocalDate | null;
  /** Has a live account at a supervising station. */
  readonly monitored: boolean;
  readonly devices: readonly {
    readonly id: string; readonly kind: DeviceKind; readonly link: DeviceLink; readonly madeOn: LocalDate | null;
    readonly installedOn: LocalDate | null; readonly removedOn: LocalDate | null;
  }[];
  readonly paths: readonly {
    readonly id: string; readonly technology: PathTechnology; readonly category: string | null; readonly installedOn: LocalDate | null; readonly removedOn: LocalDate | null;
  }[];
  readonly batteries: readonly {
    readonly id: string; readonly chemistry: BatteryChemistry; readonly deviceId: string | null; readonly madeOn: LocalDate | null;
    readonly fittedOn: LocalDate | null; readonly removedOn: LocalDate | null;
  }[];
}

/** One duty that a rule lays on one subject. */
export interface DutySpec {
  readonly ruleKey: string;
  readonly title: string;
  readonly regime: string;
  readonly subjectKind: SubjectKind;
  readonly subjectId: string;
  readonly cadence: Cadence;
  /** Where the first window counts from; null = can't tell. */
  readonly basisOn: LocalDate | null;
  readonly checkKinds: readonly string[];
  readonly minutes: number;
  readonly skills: readonly string[];
  readonly licences: readonly string[];
  readonly remotely: boolean;
  readonly sounds: boolean;
  /** Who may meet it. */
  readonly by: Rule['by'];
  readonly mandated: boolean;
  /** For a share: the devices it is a share of. */
  readonly units: readonly PopulationUnit[] | null;
}

interface Subject {
  readonly id: string;
  readonly madeOn: LocalDate | null;
  readonly installedOn: LocalDate | null;
}

const has = <T>(list: readonly T[] | undefined, value: T): boolean => list === undefined || list.includes(value);

/** Whether the system as a whole is one that the rule means. */
function meansSystem(rule: Rule, system: InstalledSystem): boolean {
  const { applies } = rule;
  if (applies.monitored !== undefined && applies.monitored !== system.monitored) return false;
  if (applies.grades && !applies.grades.some((grade) => grade.toLowerCase() === system.grade?.toLowerCase())) return false;
  if (applies.minPaths !== undefined && system.paths.filter((path) => path.removedOn === null).length < applies.minPaths) return false;
  if (applies.withBatteryChemistries && !system.batteries.some((battery) => battery.removedOn === null && battery.deviceId === null && has(applies.withBatteryChemistries, battery.chemistry))) return false;
  return applies.withDeviceKinds === undefined || system.devices.some((device) => device.removedOn === null && has(applies.withDeviceKinds, device.kind));
}

const devicesMeant = (rule: Rule, system: InstalledSystem) =>
  system.devices.filter((device) => device.removedOn === null && has(rule.applies.deviceKinds, device.kind) && has(rule.applies.links, device.link));

function subjectsOf(rule: Rule, system: InstalledSystem): Subject[] {
  const { applies } = rule;
  switch (rule.subject) {
    case 'site': return [{ id: system.siteId, madeOn: null, installedOn: system.installedOn }];
    case 'system': return [{ id: system.id, madeOn: null, installedOn: system.installedOn }];
    case 'device': return devicesMeant(rule, system);
    case 'path':
      return system.paths
        .filter((path) => path.removedOn === null && has(applies.pathTechnologies, path.technology) && (applies.pathCategories === undefined || (path.category !== null && applies.pathCategories.includes(path.category))))
        .map((path) => ({ id: path.id, madeOn: null, installedOn: path.installedOn }));
    case 'battery':
      return system.batteries
        .filter((battery) => battery.removedOn === null && has(applies.batteryChemistries, battery.chemistry) && (applies.batteriesOf === undefined || (battery.deviceId === null) === (applies.batteriesOf === 'system')))
        .map((battery) => ({ id: battery.id, madeOn: battery.madeOn, installedOn: battery.fittedOn }));
  }
}

/**
 * What the first window counts from. A commissioning so long ago that its first window has lapsed by `from` says nothing of
 * the years since: then it is can't tell, and never quietly overdue or proven.
 */
function basisOf(rule: Rule, subject: Subject, from: LocalDate): LocalDate | null {
  if (rule.basis === 'manufacture') return subject.madeOn;
  if (rule.basis === 'none' || subject.installedOn === null) return null;
  if (rule.cadence.kind === 'age') return subject.installedOn;
  const window = governing(timeline({ cadence: rule.cadence, from, basisOn: subject.installedOn, proofs: [] }, from), from);
  return window === null || window.carried !== 'proven' || window.lapses < from ? null : subject.installedOn;
}

/**
 * Lays a programme on one system: one duty for each rule and each subject it means, in the order of the rules.
 * A system of another kind owes nothing under it.
 * @param from first day on which the duties are owed; decides whether a commissioning date still says something
 */
export function dutiesFor(programme: Programme, system: InstalledSystem, from: LocalDate): DutySpec[] {
  if (!programme.systemKinds.includes(system.kind)) return [];
  const regime = programme.regime.edition === '' ? programme.regime.name : `${programme.regime.name}, ${programme.regime.edition}`;
  return programme.rules.filter((rule) => meansSystem(rule, system)).flatMap((rule) => {
    const isShare = rule.cadence.kind === 'share';
    const units = isShare ? devicesMeant(rule, system).map((device) => ({ key: device.id, from: device.installedOn ?? from, to: device.removedOn })) : null;
    if (isShare && units?.length === 0) return [];
    return subjectsOf(rule, system).map((subject): DutySpec => ({
      ruleKey: rule.key, title: rule.title, regime, subjectKind: rule.subject, subjectId: subject.id, cadence: rule.cadence,
      basisOn: basisOf(rule, subject, from), checkKinds: rule.checkKinds, minutes: rule.minutes, skills: rule.skills, licences: rule.licences,
      remotely: rule.remotely, sounds: rule.sounds, by: rule.by, mandated: rule.mandated, units,
    }));
  });
}
