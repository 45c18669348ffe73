import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type CheckDefinition, type CheckFacts, type ReadingDefinition, type ReadingValue, type Readings, judge } from '@bellround/acceptance';
import { PROBLEMS } from '@bellround/contracts';
import { catalogue, programmeLibrary } from '@bellround/programmes';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { speak } from '../../apps/web/src/shared/language/index.js';
import { reader } from '../../apps/web/src/shared/language/es/reader.js';
import { refusalsOf, sentencesOf } from './sentences-in-code.js';

// Words that no Spanish sentence holds.
const ENGLISH = /(?<![-'«])\b(the|is|not|was|were|read|of|and|by|than|its|known|with|whether|no (?:module|date)|seen|received|limit|after)\b(?!-)/i;

const LANGUAGES = ['es'];
const table = (language: string, name: string) => JSON.parse(readFileSync(join(import.meta.dirname, '..', '..', 'apps/web/src/shared/language', language, `${name}.json`), 'utf8')) as Record<string, string>;
const names = (text: string) => [...new Set(text.match(/\{\d+\}/g) ?? [])].toSorted();
const ends = (text: string) => [/^ */.exec(text)![0], / *$/.exec(text)![0]];

const checkTexts = () => [...new Set(catalogue.flatMap((one) => [
  one.title, ...one.readings.flatMap((reading) => [reading.label, ...(reading.choices ?? []).map((choice) => choice.words)]), ...one.preconditions, ...one.disturbs,
  ...one.expectedResponses.map((response) => response.what), ...one.excusable.map((excuse) => excuse.words), ...one.cautions, ...one.procedure, ...one.limits.flatMap((limit) => limit.computed ?? []),
]))];

// What the acts say on Standing, on a duty, of the week and of a visit. What they write into the activity, mails and papers is not among it.
const SPOKEN = /src\/(standing\/|week-|battery-parts|installed|deficiency-book|rounds-need|ask-roads|station-history|timeline-row|visit-worth|slack|duties\/|planning\/(list-loose-ends|show|explain|steps|capacity)|visits\/(steps|show)|deficiencies\/(steps|list|show)|exposure\/show-risk-model|signals\/(show-round|record-round|steps|settle)|recording)/;

/** Each room of sentences: where they come from. */
const ROOMS: Readonly<Record<string, () => readonly string[]>> = {
  acceptance: () => sentencesOf('acceptance'),
  checks: checkTexts,
  'check-kinds': () => catalogue.map((one) => one.key.replaceAll('-', ' ')),
  problems: () => Object.values(PROBLEMS).map((one) => one.title),
  refusals: refusalsOf,
  library: () => programmeLibrary.flatMap((one) => [one.title, ...one.rules.map((rule) => rule.title)]),
  operations: () => [...new Set([...sentencesOf('operations', new Set(), SPOKEN), ...sentencesOf('database', new Set(['Error']), /node-roads\.ts$/)])],
  recurrence: () => sentencesOf('recurrence'),
  signals: () => sentencesOf('signals'),
  risk: () => sentencesOf('risk'),
  planning: () => sentencesOf('planning', new Set(), /(best-places|capacity-effects|check-plan|eligibility|explain|move-effect|plan|questions|repair|road-table|slack|squeeze)\.ts$/).filter((one) => !one.includes('?sources=')),
};

beforeAll(() => speak('es'), 60_000);
afterAll(() => speak('en'));

describe.each(LANGUAGES)('sentences in %s', (language) => {
  it.each(Object.keys(ROOMS))('of %s: every one that is written, none that is not, with the same values', (room) => {
    const theirs = table(language, room);
    const written = ROOMS[room]!();
    expect(written.length).toBeGreaterThan(20);
    expect(written.filter((one) => !(one in theirs)), 'lacking').toEqual([]);
    expect(Object.keys(theirs).filter((one) => !written.includes(one)), 'written nowhere').toEqual([]);
    const wrong = Object.entries(theirs).filter(([ours, text]) => text.trim() === '' || JSON.stringify([names(ours), ends(ours)]) !== JSON.stringify([names(text), ends(text)]));
    expect(wrong).toEqual([]);
  });

  it('numbers in a caution, a step or a limit are those of the English text', () => {
    const numbers = (text: string) => [...text.matchAll(/\d+(?:[.,]\d+)?/g)].map((match) => match[0].replace(',', '.')).toSorted();
    const differ = checkTexts().filter((one) => JSON.stringify(numbers(one)) !== JSON.stringify(numbers(table(language, 'checks')[one] ?? '')));
    expect(differ).toEqual([]);
  });
});

describe('what the engines say is read back whole', () => {
  const answers = (definition: CheckDefinition, pick: (reading: ReadingDefinition) => ReadingValue): Readings => Object.fromEntries(definition.readings.map((reading) => [reading.key, pick(reading)]));
  const within = (share: number) => (reading: ReadingDefinition): ReadingValue => (reading.kind === 'number' ? (reading.min ?? 0) + share * ((reading.max ?? 100) - (reading.min ?? 0))
    : reading.kind === 'yes-no' ? share > 0.5 : reading.kind === 'choice' ? reading.choices!.at(Math.floor(share * (reading.choices!.length - 0.001)))!.code : reading.kind === 'date' ? '2024-05-02' : '2.1');
  const takes: Readonly<Record<string, (definition: CheckDefinition) => Readings>> = {
    nothing: () => ({}),
    'the least': (one) => answers(one, within(0)),
    little: (one) => answers(one, within(0.04)),
    middling: (one) => answers(one, within(0.51)),
    'the most': (one) => answers(one, within(1)),
    'what cannot be believed': (one) => answers(one, (reading) => (reading.kind === 'number' ? (reading.max ?? 0) + 1e6 : reading.kind === 'date' ? '2031-01-01' : 'x')),
  };
  const load = { standbyMa: 450, alarmMa: 1900, standbyH: 24, alarmMin: 30, allowance: 1.25 };
  const facts: CheckFacts = {
    instrument: { name: 'Meter 4', calibratedUntil: '2027-02-28' }, load, battery: { nominalMv: 12_000, ratedMah: 17_000, madeOn: '2021-03-01' },
  };

  it.each(Object.keys(takes))('reasons and notes of every check that was given %s', (take) => {
    const english = catalogue.flatMap((definition) => [{}, facts].flatMap((known) => {
      const { reason, notes, findings, hints } = judge(definition, takes[take]!(definition), known as CheckFacts, '2027-03-15');
      return [reason, ...notes, ...findings.map((one) => one.words), ...hints.map((one) => one.words)];
    })).filter((text) => ENGLISH.test(reader(text)));
    expect([...new Set(english)].map((text) => `${text} -> ${reader(text)}`)).toEqual([]);
  });
});

describe('sentences as they come', () => {
  it.each([
    ['annual, 9 to 15 months after 4 Mar 2025: opens 4 Dec 2025, lapses 4 Jun 2026', 'anual, de 9 a 15 meses después de 4 mar 2025: abre el 4 dic 2025, caduca el 4 jun 2026'],
    ['every 5 years, up to 30 days after the last proof: opens 4 Dec 2025, lapses 4 Jun 2026', 'cada 5 años, hasta 30 días después de la última prueba: abre el 4 dic 2025, caduca el 4 jun 2026'],
    ['inherited, unproven: no date is known to count from, so due at once: opens 1 Mar 2027, lapses 1 Apr 2027', 'heredada, sin prueba: no se conoce fecha desde la que contar, así que vence ya: abre el 1 mar 2027, caduca el 1 abr 2027'],
    ['no usable day from 1 Nov 2026 to 31 Mar 2027: closed on Saturdays', 'ningún día utilizable del 1 nov 2026 al 31 mar 2027: cerrado en sábados'],
    ["power supply: 31 % of the exposure, mostly by silent faults since its last proof", 'fuente de alimentación: 31 % de la exposición, sobre todo por averías silenciosas desde su última prueba'],
    ["station: can't tell, this system was last heard 3 days ago", 'central receptora: no se sabe, oyó por última vez este sistema hace 3 días'],
    ['Silent for 9 d 6.5 h, limit 25 h.', 'En silencio desde hace 9 d 6.5 h, límite 25 h.'],
    ["Right zone, but the station reads 'garage' for 'study'.", 'Zona correcta, pero la central receptora lee «garage» en lugar de «study».'],
    ['here it adds 12 minutes of travel; the next best, Olu, counts 8 minutes more', 'aquí añade 12 minutos de viaje; lo siguiente mejor, Olu, cuenta 8 minutos más'],
    ["Mirel Voss's fire licence does not cover 2027-03-15 (last valid day 2027-03-12)", 'La licencia de fire de Mirel Voss no cubre 15 mar 2027 (último día válido 12 mar 2027)'],
    ['must have at least 12 characters', 'debe tener al menos 12 caracteres'],
    ['must be at most 60', 'debe ser como máximo 60'],
    ['must be a whole number', 'debe ser un número entero'],
    ['the table of road times did not answer within 15 s', 'el servicio de tablas no respondió en 15 s'],
    ['the table of road times cannot be reached (connect ECONNREFUSED 127.0.0.1:5000)', 'no se llega al servicio de tablas (connect ECONNREFUSED 127.0.0.1:5000)'],
    ['the service says TooBig: Too many table coordinates', 'el servicio dice TooBig: Too many table coordinates'],
    ['There is no visit by that id.', 'No hay ninguna visita con ese id.'],
    ['Tess Oakes lacks on 2027-03-15: fire. Somebody who has it must do this visit.', 'A Tess Oakes le falta el 15 mar 2027: fire. Esta visita debe hacerla alguien que lo tenga.'],
  ])('%s', (english, spanish) => {
    expect(reader(english)).toBe(spanish);
  });
});
