/**
 * The shape of one check: what is done, on what, which readings it takes and how they are judged.
 * Definitions are data (JSON-able) so that the phone receives them from the API and judges without a network.
 */

/** A date on the site's own calendar, 'YYYY-MM-DD'. Checked where it is read, never assumed valid. */
export type LocalDate = string;

/** What a reading may hold. `null` and an absent key both mean 'not read': unknown, never good. */
export type ReadingValue = number | boolean | string | null;
export type Readings = Readonly<Record<string, ReadingValue | undefined>>;

export const subjectKinds = ['site', 'system', 'device', 'path', 'battery'] as const;
export type SubjectKind = (typeof subjectKinds)[number];

export const systemKinds = ['intrusion', 'fire', 'hold-up', 'medical', 'co', 'environmental', 'home-automation'] as const;
export type SystemKind = (typeof systemKinds)[number];

export const deviceKinds = [
  'contact', 'motion', 'beam', 'vibration', 'glass-break', 'smoke', 'heat', 'duct-smoke', 'co', 'call-point', 'waterflow',
  'valve-supervisory', 'door-release', 'sounder', 'visual-alarm', 'keypad', 'annunciator', 'key-switch', 'hold-up', 'medical',
  'duress', 'flood', 'temperature', 'gas', 'sound-level', 'camera', 'lock', 'light', 'thermostat', 'plug', 'repeater',
  'radio-module', 'expander', 'enclosure', 'power-supply',
] as const;
export type DeviceKind = (typeof deviceKinds)[number];

export const deviceLinks = ['wired', 'wireless', 'mesh'] as const;
export type DeviceLink = (typeof deviceLinks)[number];

export const pathTechnologies = ['ethernet', 'wifi', 'cellular', 'line', 'radio'] as const;
export type PathTechnology = (typeof pathTechnologies)[number];

/**
 * How strong the evidence is. A: confirmed by the station and read on an instrument. B: a technician's statement with presence.
 * C: declared by the occupant. D: inherited or a quick look; meets no mandated duty.
 */
export const evidenceGrades = ['A', 'B', 'C', 'D'] as const;
export type EvidenceGrade = (typeof evidenceGrades)[number];

export type Choice = { readonly code: string; readonly words: string };

/** One value the technician enters. `min`/`max` are the range that can be believed, not the limit that is judged. */
export type ReadingDefinition = {
  readonly key: string;
  readonly label: string;
  /** Unit as written beside the value ('V', 'dBm', 's', '' for none). */
  readonly unit: string;
  readonly kind: 'number' | 'yes-no' | 'choice' | 'date' | 'text';
  readonly required: boolean;
  readonly min?: number;
  readonly max?: number;
  readonly step?: number;
  readonly choices?: readonly Choice[];
};

/** Where a limit or a rule comes from, shown beside it. */
export type Source = {
  /** 'common practice', 'company rule', 'maker', or the document in words. */
  readonly text: string;
  readonly clause?: string;
  /** How we know it: SEEN-P, SEEN-R, SEEN-U, MEM, CALC (see the facts' legend), 'common practice' or 'company rule'. */
  readonly provenance: string;
};

export const comparators = ['>=', '<=', '>', '<', '=', 'between'] as const;
export type Comparator = (typeof comparators)[number];

/**
 * What a reading is held against. `value` null: computed from the site's facts by the judge, described in `computed`.
 * `level` 'fail' when breaking it fails the check, 'marginal' when it only warns. 'between' uses `value` and `upper`.
 */
export type Limit = {
  readonly reading: string;
  readonly comparator: Comparator;
  readonly value: number | string | boolean | null;
  readonly upper?: number;
  readonly unit: string;
  readonly level: 'fail' | 'marginal';
  readonly computed?: string;
  readonly source: Source;
};

/** What a step must provoke, where it shows, and within how long: seen is good, missing is a deficiency. */
export type ExpectedResponse = { readonly what: string; readonly where: 'panel' | 'station' | 'site'; readonly withinS: number };

/** A known and recorded reason for which a failing check is excused and owed again. */
export type Excuse = { readonly code: string; readonly words: string; readonly owedAgain: 'this-visit' | 'later' };

export const judgeNames = [
  'limits', 'supply-voltage', 'battery-on-load', 'charge-voltage', 'sounder-level', 'transmission-path', 'path-changeover', 'wireless-margin',
  'mesh-delivery', 'mesh-hops', 'fitted-module', 'acoustic-response', 'background-sound', 'periodic-signal', 'smoke-sensitivity',
  'end-of-life', 'firmware', 'valve-supervisory', 'path-supervision', 'false-alarm-rate',
] as const;
export type JudgeName = (typeof judgeNames)[number];

export type AppliesTo = {
  /** Empty: any kind of system. */
  readonly systems: readonly SystemKind[];
  /** For subject 'device': the kinds of device. Empty: any device. */
  readonly devices: readonly DeviceKind[];
  /** For subject 'device': how it is linked. Empty: any. */
  readonly links: readonly DeviceLink[];
  /** For subject 'path': the technologies. Empty: any path. */
  readonly paths: readonly PathTechnology[];
};

export type CheckDefinition = {
  readonly key: string;
  readonly title: string;
  readonly subject: SubjectKind;
  readonly appliesTo: AppliesTo;
  readonly readings: readonly ReadingDefinition[];
  readonly judge: JudgeName;
  readonly params: Readonly<Record<string, number | string | boolean>>;
  readonly limits: readonly Limit[];
  /** What must be so before it starts, in words. */
  readonly preconditions: readonly string[];
  /** Check keys that must be proven first in the same visit when both are chosen. */
  readonly after: readonly string[];
  /** Check keys that cannot be done on the same subject at the same time. */
  readonly excludes: readonly string[];
  readonly needsHold: boolean;
  readonly sounds: boolean;
  /** What it takes out of normal; each goes on the put-back list. */
  readonly disturbs: readonly string[];
  /** A check that puts things back; ordered last, closes the visit. */
  readonly restores: boolean;
  /** The device is physically activated. */
  readonly activation: boolean;
  /** The best grade this check can give; the readings may lower it. */
  readonly evidence: EvidenceGrade;
  readonly minutes: number;
  readonly expectedResponses: readonly ExpectedResponse[];
  readonly procedure: readonly string[];
  readonly cautions: readonly string[];
  readonly excusable: readonly Excuse[];
  /** Fire and life-safety checks that only a licensed person may sign. */
  readonly licensed: boolean;
  /** Where the interval or the method itself comes from. */
  readonly source: Source;
};
