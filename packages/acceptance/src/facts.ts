import type { DeviceKind, LocalDate, Limit, PathTechnology, ReadingValue, SystemKind } from './definition.js';
import type { StandbyConvention } from './power/standby.js';

/**
 * What is known about the subject when a check is judged. Everything is optional: what is absent is unknown,
 * and the judge says so instead of assuming good.
 */
export type CheckFacts = {
  /** Kind of system that the subject belongs to. */
  readonly systemKind?: SystemKind;
  readonly deviceKind?: DeviceKind;
  readonly battery?: BatteryFacts;
  readonly load?: LoadFacts;
  readonly supply?: SupplyFacts;
  readonly path?: PathFacts;
  readonly radio?: RadioFacts;
  readonly sound?: SoundFacts;
  readonly age?: AgeFacts;
  readonly smoke?: SmokeFacts;
  readonly firmware?: { readonly approved: readonly string[] };
  readonly mesh?: { readonly devicesInMesh?: number; readonly previousHops?: number };
  readonly periodic?: { readonly intervalH: number; readonly graceH: number };
  readonly instrument?: InstrumentFacts;
  /** Last visit's values by reading key. */
  readonly previous?: Readonly<Record<string, { readonly value: ReadingValue; readonly on: LocalDate }>>;
  /** Earlier numbers of this subject by 'check key/reading key', any order; for the trend of any reading. */
  readonly series?: Readonly<Record<string, readonly { readonly on: LocalDate; readonly value: number }[]>>;
  /** Limits set for this subject (maker's or company's). Each replaces the catalogue's of the same reading and level. */
  readonly limits?: readonly Limit[];
};

export type Chemistry = 'lead-acid-sealed' | 'lead-acid-vented' | 'nickel-cadmium' | 'lithium-primary' | 'lithium-ion' | 'alkaline';

export type BatteryFacts = {
  readonly chemistry?: Chemistry;
  readonly nominalMv?: number;
  readonly ratedMah?: number;
  /** Date of make. Absent: unknown, treated as due. */
  readonly madeOn?: LocalDate;
  readonly firstSeenOn?: LocalDate;
  /** Replace at this age; from the programme. Default 5 years from manufacture (common practice). */
  readonly ageLimitYears?: number;
  /** Earlier capacity readings, share of rated in percent. */
  readonly history?: readonly { readonly on: LocalDate; readonly capacityPct: number }[];
};

export type LoadFacts = {
  readonly standbyMa: number;
  readonly alarmMa: number;
  readonly standbyH: number;
  readonly alarmMin: number;
  /** Multiplier on the sum (1.20, 1.25 ...). */
  readonly allowance: number;
  /** How the capacity is computed; absent: the sum times the allowance. */
  readonly convention?: StandbyConvention;
  /** Who asks for these hours, shown with the limit. */
  readonly source?: string;
};

/** A two-wire run: a gauge with its stranding, or a metric section. */
export type WireFacts = {
  readonly awg?: number;
  readonly strands?: 'solid' | '7-strand';
  /** Copper section in mm²; used where no gauge is given. */
  readonly sectionMm2?: number;
  /** One way. */
  readonly lengthM: number;
  readonly currentMa: number;
  /** Conductor temperature; 75 °C for a gauge and 20 °C for a section (each table's own) when absent. */
  readonly temperatureC?: number;
};

export type SupplyFacts = {
  readonly ratedMv?: number;
  readonly lowPct?: number;
  readonly highPct?: number;
  readonly wire?: WireFacts;
};

export type PathCategory = 'SP1' | 'SP2' | 'SP3' | 'SP4' | 'SP5' | 'SP6' | 'DP1' | 'DP2' | 'DP3' | 'DP4';

export type PathFacts = {
  readonly technology?: PathTechnology;
  readonly order?: 'primary' | 'alternate';
  readonly category?: PathCategory;
  /** Whether the station has this path's account registered yet; absent: unknown. */
  readonly registered?: boolean;
  /** Longest acceptable round trip, when the company or the station sets one. */
  readonly roundTripLimitS?: number;
};

export type RadioFacts = {
  readonly minMarginDb?: number;
  readonly goodMarginDb?: number;
  readonly history?: readonly { readonly on: LocalDate; readonly marginDb: number; readonly levelDbm?: number; readonly noiseDbm?: number }[];
  /** For the hint 'explained by distance and walls or not'. */
  readonly link?: {
    readonly transmitDbm: number;
    readonly frequencyMhz: number;
    readonly distanceM: number;
    readonly floors: number;
    readonly place: 'residential' | 'office' | 'commercial';
  };
  /** Drops of the other sensors on the same receiver, each from its last visit to this one, dB. */
  readonly neighbourDropsDb?: readonly number[];
};

export type SoundFacts = {
  readonly requiredDb?: number;
  readonly aboveAmbientDb?: number;
  readonly aboveMaximumDb?: number;
  /** Ambient known for the room, used when the visit did not measure it. */
  readonly ambientDb?: number;
  readonly maximumAmbientDb?: number;
  readonly sleeping?: boolean;
  readonly mode?: 'public' | 'private';
  /** Distance at which the level is asked for, metres. */
  readonly referenceDistanceM?: number;
  readonly warnLevelDb?: number;
};

export type AgeFacts = {
  readonly madeOn?: LocalDate;
  readonly installedOn?: LocalDate;
  readonly firstSeenOn?: LocalDate;
  /** The date marked on the device wins over anything computed. */
  readonly endOfLifeOn?: LocalDate;
  readonly lifeYears?: number;
};

/** The sensitivity range marked on the smoke detector, obscuration in %/ft. */
export type SmokeFacts = { readonly markedLowPctPerFt?: number; readonly markedHighPctPerFt?: number };

export type InstrumentFacts = { readonly name: string; readonly calibratedUntil?: LocalDate };
