/** Component classes and the company's starting rules for them. Rules CLS-1..4 in SPEC.md. */

/** Every class of component that can stop an alarm, in the order used by tables. */
export const COMPONENT_CLASSES = [
  'supply',
  'battery',
  'control-unit',
  'path-ethernet',
  'path-wifi',
  'path-cellular',
  'path-line',
  'path-radio',
  'detector-wireless',
  'detector-wired',
  'detector-life-safety',
  'sounder',
  'mesh-device',
] as const;

export type ComponentClass = (typeof COMPONENT_CLASSES)[number];

/** The place of a component in the chain from detection to the station. */
export const COMPONENT_ROLES = ['power', 'detection', 'control-unit', 'path', 'sounder'] as const;

export type ComponentRole = (typeof COMPONENT_ROLES)[number];

/** Links of the chain as drawn. The station is shown, not estimated: nothing of ours measures its failures. */
export type LinkName = ComponentRole | 'station';

/** What is assumed of a class before the company has history of its own. */
export interface ClassDefaults {
  /** The class in words, for sentences. */
  readonly words: string;
  /** Mean failures per hour in service at factor 1. The battery has none: it ages (see BATTERY_DEFAULTS). */
  readonly ratePerHour: number;
  /** Gamma shape of the spread between components; 1 is a spread as large as the mean. */
  readonly shape: number;
  /** Share of failures that a component marked `selfReported` reports by itself, 0..1. */
  readonly reportedShare: number;
  /** Whether radio margin moves its rate. */
  readonly radio: boolean;
  readonly source: string;
}

const RULE = 'company rule: order of magnitude, replaced by own history';
const SMOKE = 'from memory: about 4 failures in a million hours is the figure long quoted for smoke detectors; replaced by own history';

/** Starting values per class. They are deliberately coarse; the fit moves them as soon as there is history. */
export const CLASS_DEFAULTS: Readonly<Record<ComponentClass, ClassDefaults>> = {
  supply: { words: 'power supply', ratePerHour: 2e-6, shape: 1, reportedShare: 0.9, radio: false, source: RULE },
  battery: { words: 'battery', ratePerHour: 0, shape: 20, reportedShare: 0.3, radio: false, source: RULE },
  'control-unit': { words: 'control unit', ratePerHour: 2e-6, shape: 1, reportedShare: 0.6, radio: false, source: RULE },
  'path-ethernet': { words: 'wired network path', ratePerHour: 2e-5, shape: 1, reportedShare: 0.95, radio: false, source: RULE },
  'path-wifi': { words: 'wireless network path', ratePerHour: 6e-5, shape: 1, reportedShare: 0.95, radio: true, source: RULE },
  'path-cellular': { words: 'cellular path', ratePerHour: 2e-5, shape: 1, reportedShare: 0.95, radio: true, source: RULE },
  'path-line': { words: 'telephone line path', ratePerHour: 1.5e-5, shape: 1, reportedShare: 0.6, radio: false, source: RULE },
  'path-radio': { words: 'radio path', ratePerHour: 1e-5, shape: 1, reportedShare: 0.9, radio: true, source: RULE },
  'detector-wireless': { words: 'wireless detector', ratePerHour: 5e-6, shape: 1, reportedShare: 0.6, radio: true, source: RULE },
  'detector-wired': { words: 'wired detector', ratePerHour: 2e-6, shape: 1, reportedShare: 0.3, radio: false, source: RULE },
  'detector-life-safety': { words: 'life-safety detector', ratePerHour: 4e-6, shape: 1, reportedShare: 0.6, radio: false, source: SMOKE },
  sounder: { words: 'sounder', ratePerHour: 2e-6, shape: 1, reportedShare: 0.3, radio: false, source: RULE },
  'mesh-device': { words: 'mesh device', ratePerHour: 8e-6, shape: 1, reportedShare: 0.6, radio: true, source: RULE },
};

/** Weibull life of a standby battery in effective years at the reference temperature, before own history. */
export const BATTERY_DEFAULTS = {
  shape: 3,
  scaleYears: 6,
  source: 'company rule: replacement practice of 3 to 5 years (several trade pages agree) put before the steep part of the curve',
} as const;

/** Every number the scoring uses that is not fitted. Change it by fitModel's options; `SETTING_SOURCES` says where each comes from. */
export interface RiskSettings {
  /** How much an hour without a life-safety system weighs against an hour without a property system. */
  readonly lifeSafetyWeight: number;
  /** Chance that the mains is gone when the alarm is needed, 0..1. */
  readonly supplyLossAtAlarm: number;
  /** Share of failures that strike all members of a parallel group at once (beta factor), 0..1. */
  readonly commonCause: number;
  /** Hours from knowing of a fault to its repair. */
  readonly repairH: number;
  /** Hours until a self-reported fault is known when the supervision interval is not recorded. */
  readonly unknownSupervisionH: number;
  /** Share of failures that a check reveals when it is not recorded. */
  readonly unknownCoverage: number;
  /** Years since the last proof when neither proof nor installation is recorded. */
  readonly unknownProofYears: number;
  /** Years a battery without any date is taken to be. */
  readonly unknownBatteryAgeYears: number;
  readonly unknownTemperatureC: number;
  /** dB of radio margin when none was ever read. */
  readonly unknownMarginDb: number;
  /** Temperature at which effective age is calendar age. */
  readonly referenceC: number;
  /** Degrees that halve battery life. */
  readonly halvingC: number;
  /** No battery is taken to live longer than at this temperature. */
  readonly coolestC: number;
}

export const DEFAULT_SETTINGS: RiskSettings = {
  lifeSafetyWeight: 4,
  supplyLossAtAlarm: 0.1,
  commonCause: 0.05,
  repairH: 48,
  unknownSupervisionH: 25,
  unknownCoverage: 0.5,
  unknownProofYears: 5,
  unknownBatteryAgeYears: 7,
  unknownTemperatureC: 30,
  unknownMarginDb: 5,
  referenceC: 25,
  halvingC: 8,
  coolestC: 20,
};

export const SETTING_SOURCES: Readonly<Record<keyof RiskSettings, string>> = {
  lifeSafetyWeight: 'company rule',
  supplyLossAtAlarm: 'company rule: a fire, a storm or an intruder often takes the mains with it',
  commonCause: 'company rule within 0.02 to 0.10, the range of the worked cases after IEC 61508-6 Annex B',
  repairH: 'company rule',
  unknownSupervisionH: '25 h: EN 50136-1:2012 category SP2, from memory',
  unknownCoverage: 'company rule: what nobody recorded is half believed',
  unknownProofYears: 'company rule',
  unknownBatteryAgeYears: 'company rule: the age by which four of five batteries of the starting rule have failed',
  unknownTemperatureC: 'company rule: a closed enclosure indoors',
  unknownMarginDb: 'company rule: below the 10 dB minimum of common practice (from memory)',
  referenceC: '10 years at 25 °C, 5 at 33, 2.5 at 41: printed triple in a battery handbook-style article',
  halvingC: '10 years at 25 °C, 5 at 33, 2.5 at 41: printed triple in a battery handbook-style article',
  coolestC: 'company rule: halving is printed for above 20 °C only',
};
