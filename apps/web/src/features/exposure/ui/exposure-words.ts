import { numberWords } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';
import { PART_CLASS, wordOf } from '../../../shared/words.js';

/** '9.4 h', '1,312 h', '25 min': hours as far as they say something. */
export function hoursWords(hours: number): string {
  if (hours < 1 / 60) return phrase('exposure.under-1-min');
  if (hours < 1) return `${Math.round(hours * 60)} min`;
  return `${numberWords(hours, hours < 10 ? 1 : 0)} h`;
}

/** A share 0..1 in per cent; what would round to nothing is told as such. */
export function shareWords(share: number): string {
  if (share > 0 && share < 0.005) return phrase('exposure.under-1');
  return `${Math.round(share * 100)} %`;
}

/** A place in the fleet, never rounded up to the whole of it. */
export function fleetWords(percentile: number): string {
  return `${Math.floor(percentile)} %`;
}

/** 7000 -> '7 Ah'; not recorded is told. */
export function ratingWords(ratedMah: number | null): string {
  return ratedMah === null ? phrase('exposure.rating-not-recorded') : `${numberWords(ratedMah / 1000, 1)} Ah`;
}

/** Two digits that say something: 0.0071, 0.35, 12; what is next to nothing is told as such. */
export function rateWords(perYear: number): string {
  if (perYear < 0.0001) return phrase('exposure.under-0-0001');
  return numberWords(perYear, Math.max(0, 1 - Math.floor(Math.log10(perYear))));
}

export const classWords = (key: string): string => wordOf(PART_CLASS, key);

/** The engine's sentences begin small, as parts of sentences. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** How thick a link is drawn: one step for each factor of ten that it is down less. 0.9 -> 1, 0.99 -> 2, at most 4. */
export function ninesOf(soundness: number): number {
  return Math.max(0, Math.min(4, -Math.log10(Math.max(1e-9, 1 - soundness))));
}

const SETTINGS: Readonly<Record<string, string>> = {
  lifeSafetyWeight: phrase('setting.life-safety-weight'),
  supplyLossAtAlarm: phrase('setting.supply-loss-at-alarm'),
  commonCause: phrase('setting.common-cause'),
  repairH: phrase('setting.repair-h'),
  unknownSupervisionH: phrase('setting.unknown-supervision-h'),
  unknownCoverage: phrase('setting.unknown-coverage'),
  unknownProofYears: phrase('setting.unknown-proof-years'),
  unknownBatteryAgeYears: phrase('setting.unknown-battery-age-years'),
  unknownTemperatureC: phrase('setting.unknown-temperature-c'),
  unknownMarginDb: phrase('setting.unknown-margin-db'),
  referenceC: phrase('setting.reference-c'),
  halvingC: phrase('setting.halving-c'),
  coolestC: phrase('setting.coolest-c'),
};

/** What a number that is set stands for; one this page does not know yet goes by its name. */
export const settingWords = (name: string): string => wordOf(SETTINGS, name);
