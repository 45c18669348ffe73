/** What scoring is told about a site. Plain data, JSON-able; days are whole day numbers of the site's local calendar, any common origin. */
import { COMPONENT_CLASSES, COMPONENT_ROLES, type ComponentClass, type ComponentRole } from './component-classes.js';
import type { Look } from './failure-modes.js';

/** One component. `null` is 'not known', and is always counted on the bad side. */
export interface ComponentInput {
  readonly id: string;
  readonly class: ComponentClass;
  readonly role: ComponentRole;
  readonly label: string;
  readonly installedDay: number | null;
  /** Day of the last check that found it good. */
  readonly lastProofDay: number | null;
  /** Failures recorded of it (and of what stood in its place before). */
  readonly failures: number;
  /** Hours it was in service and working; of a silent fault count half of the interval before it was found as down. */
  readonly hoursInService: number;
  /** Verdicts on record, good and bad: with them a model that knows of wrong verdicts counts `failures` by how likely each is true. */
  readonly verdicts?: number;
  /** Calendar age today; when null, taken from installedDay. Only batteries age. */
  readonly ageYears: number | null;
  readonly temperatureC: number | null;
  /** Received level above what is needed, dB. Only radio classes. */
  readonly marginDb: number | null;
  /** Marginal readings since it was installed. */
  readonly marginalCount: number;
  /** Whether the system reports failures of it by itself. */
  readonly selfReported: boolean;
  /** Hours within which a reported failure is known. */
  readonly supervisionH: number | null;
  /** Share of silent failures that its check reveals, 0..1. */
  readonly coverage: number | null;
  /** Area it protects: detectors (and sounders) of one area stand in for each other. Null: an area of its own. */
  readonly protects: string | null;
  /** dB lost per year, positive is worse. */
  readonly marginTrendDbPerYear?: number | null;
  /** Outdoors, dusty, damp, hot or vibrating. Null: nobody recorded it, counted as harsh; left out: mild. */
  readonly harsh?: boolean | null;
  /** Known to be down now. */
  readonly down?: boolean;
  /**
   * Last good day of each kind of check it had. When given, each silent failure mode of its class counts from the last look that would have
   * found it (`lastProofDay` is then only told), and `coverage` is what its next proof reveals.
   */
  readonly looks?: readonly Look[];
  /** Year of installation, for lots that fail more or less than their class. */
  readonly cohort?: number | null;
}

/** One system. Detection, control unit, path and power all must work; paths stand in for each other, and supply and battery. */
export interface SystemInput {
  readonly systemId: string;
  readonly kind: string;
  readonly components: readonly ComponentInput[];
  /** Whether people depend on it; by default as the site. Only then the sounder counts. */
  readonly lifeSafety?: boolean;
  /** Importance of areas against each other; by default equal. */
  readonly areaWeights?: Readonly<Record<string, number>>;
  /** Day on which the station last heard it. */
  readonly lastHeardDay?: number | null;
}

export interface SiteInput {
  readonly siteId: string;
  readonly lifeSafety: boolean;
  /** How much this site counts against others, above 0; 1 is usual. */
  readonly weight: number;
  readonly systems: readonly SystemInput[];
}

/** When scoring looks, in the same day numbers. */
export interface ScoreWhen {
  readonly today: number;
  /** Day of the next planned proof; a day not after today counts as tomorrow. */
  readonly nextProofDay: number;
  /** Days between proofs after that one; 365 when not given. */
  readonly everyDays?: number;
}

/** Thrown for input that cannot be. The message names site, component, field, value and what is accepted. */
export class RiskInputError extends Error {
  override readonly name = 'RiskInputError';
}

const CLASSES: ReadonlySet<string> = new Set(COMPONENT_CLASSES);
const ROLES: ReadonlySet<string> = new Set(COMPONENT_ROLES);

/** Throws RiskInputError at the first value that cannot be. */
export function requireSite(site: SiteInput): void {
  if (!(site.weight > 0) || !Number.isFinite(site.weight)) refuse(`site ${site.siteId}`, 'weight', site.weight, 'a number above 0');
  for (const system of site.systems) {
    for (const component of system.components) requireComponent(`site ${site.siteId}, system ${system.systemId}`, component);
    for (const [area, weight] of Object.entries(system.areaWeights ?? {})) {
      if (!(weight > 0) || !Number.isFinite(weight)) refuse(`site ${site.siteId}, system ${system.systemId}`, `areaWeights.${area}`, weight, 'a number above 0');
    }
  }
}

/** Throws RiskInputError unless days are whole numbers. */
export function requireWhen({ today, nextProofDay, everyDays = 365 }: ScoreWhen): void {
  if (!Number.isInteger(today)) refuse('when', 'today', today, 'a whole day number');
  if (!Number.isInteger(nextProofDay)) refuse('when', 'nextProofDay', nextProofDay, 'a whole day number');
  if (!(everyDays >= 1) || !Number.isFinite(everyDays)) refuse('when', 'everyDays', everyDays, 'days from 1');
}

function requireComponent(where: string, c: ComponentInput): void {
  const at = `${where}, component ${c.id}`;
  if (!CLASSES.has(c.class)) refuse(at, 'class', c.class, COMPONENT_CLASSES.join(', '));
  if (!ROLES.has(c.role)) refuse(at, 'role', c.role, COMPONENT_ROLES.join(', '));
  known(at, 'failures', c.failures, 0, Infinity);
  known(at, 'hoursInService', c.hoursInService, 0, Infinity);
  known(at, 'marginalCount', c.marginalCount, 0, Infinity);
  unknown(at, 'installedDay', c.installedDay, -Infinity, Infinity);
  unknown(at, 'lastProofDay', c.lastProofDay, -Infinity, Infinity);
  unknown(at, 'ageYears', c.ageYears, 0, 200);
  unknown(at, 'temperatureC', c.temperatureC, -60, 100);
  unknown(at, 'marginDb', c.marginDb, -100, 200);
  unknown(at, 'supervisionH', c.supervisionH, 0, Infinity);
  unknown(at, 'coverage', c.coverage, 0, 1);
}

function unknown(at: string, field: string, value: number | null, least: number, most: number): void {
  if (value !== null) known(at, field, value, least, most);
}

function known(at: string, field: string, value: number, least: number, most: number): void {
  if (!Number.isFinite(value) || value < least || value > most) refuse(at, field, value, `a number from ${least} to ${most}`);
}

function refuse(at: string, field: string, value: unknown, accepted: string): never {
  throw new RiskInputError(`${at}: ${field} is ${String(value)}; accepted: ${accepted}`);
}
