import type { CheckDefinition, DeviceKind, LocalDate, ReadingDefinition, Readings, ReadingValue } from './definition.js';
import type { CheckFacts } from './facts.js';
import { dayNumber } from './local-date.js';

export type ReadingProblem = { readonly reading: string; readonly value: ReadingValue; readonly words: string };

/**
 * [ACC-2] What cannot be believed among the readings: unknown keys, wrong kind, outside the believable range, no such
 * choice, no such date, a date of make in the future. Each names the reading, its value and what is accepted.
 */
export function readingProblems(definition: CheckDefinition, readings: Readings, now: LocalDate, facts: CheckFacts = {}): ReadingProblem[] {
  const problems: ReadingProblem[] = [];
  const known = new Map(definition.readings.map((reading) => [reading.key, reading]));
  for (const [key, given] of Object.entries(readings)) {
    const value = given ?? null;
    const reading = known.get(key);
    const words = reading === undefined ? `The check '${definition.key}' has no reading '${key}'.` : problemOf(reading, value, now);
    if (words !== null) problems.push({ reading: key, value, words });
  }
  const made = readings['madeOn'];
  const seen = readings['firstSeenOn'] ?? facts.battery?.firstSeenOn ?? facts.age?.firstSeenOn;
  if (typeof made === 'string' && typeof seen === 'string' && known.has('madeOn') && seen < made) {
    problems.push({ reading: 'madeOn', value: made, words: `First seen ${seen} is before the date of make ${made}; one of the two is wrong.` });
  }
  const mesh = meshRefusal(definition, facts);
  if (mesh !== null) problems.push({ reading: 'deviceKind', value: facts.deviceKind ?? null, words: mesh });
  return problems;
}

const lifeSafetyKinds: readonly DeviceKind[] = ['smoke', 'heat', 'duct-smoke', 'co', 'gas', 'call-point', 'hold-up', 'medical', 'waterflow'];

/** [ACC-36] Life-safety detectors are never on the home-automation mesh: why a mesh record of one is refused, or null. */
export function meshRefusal(definition: CheckDefinition, facts: CheckFacts): string | null {
  const { deviceKind } = facts;
  const isMesh = definition.judge === 'mesh-delivery' || definition.judge === 'mesh-hops';
  if (!isMesh || deviceKind === undefined || !lifeSafetyKinds.includes(deviceKind)) return null;
  return `A ${deviceKind} device is for life safety and never on the home-automation mesh; this record is refused. Correct the device's kind or link.`;
}

/** Keys of required readings that were not taken. */
export function missingReadings(definition: CheckDefinition, readings: Readings): string[] {
  return definition.readings.filter((r) => r.required && (readings[r.key] ?? null) === null).map((r) => r.key);
}

function problemOf(reading: ReadingDefinition, value: ReadingValue, now: LocalDate): string | null {
  if (value === null) return null;
  switch (reading.kind) {
    case 'number':
      return numberProblem(reading, value);
    case 'yes-no':
      return typeof value === 'boolean' ? null : `${reading.label}: '${value}' is neither yes nor no.`;
    case 'choice': {
      const codes = (reading.choices ?? []).map((choice) => choice.code);
      return typeof value === 'string' && codes.includes(value) ? null : `${reading.label}: '${value}' is not one of ${codes.join(', ')}.`;
    }
    case 'text':
      return typeof value === 'string' && value.length <= 2000 ? null : `${reading.label}: expected up to 2000 characters of text.`;
    case 'date':
      if (typeof value !== 'string' || dayNumber(value) === null) return `${reading.label}: '${value}' is not a calendar date; expected YYYY-MM-DD.`;
      return isPastOnly(reading.key) && value > now ? `${reading.label}: ${value} is after today (${now}).` : null;
  }
}

function numberProblem(reading: ReadingDefinition, value: ReadingValue): string | null {
  const { label, min = -Infinity, max = Infinity } = reading;
  const unit = reading.unit === '' ? '' : ` ${reading.unit}`;
  if (typeof value !== 'number' || !Number.isFinite(value)) return `${label}: '${value}' is not a number.`;
  if (value < min || value > max) return `${label}: ${value}${unit} cannot be believed; accepted is ${min} to ${max}${unit}.`;
  return null;
}

// Dates that record what has been; an end of life may well lie ahead.
function isPastOnly(key: string): boolean {
  return key === 'madeOn' || key === 'firstSeenOn' || key === 'installedOn' || key === 'lastReceivedOn';
}
