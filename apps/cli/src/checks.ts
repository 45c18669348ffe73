import { readFileSync } from 'node:fs';
import { Refusal } from '@bellround/contracts';
import { judge, limitWords, missingProofs, readingProblems, readingTrends, sourceWords, type CheckDefinition, type CheckFacts, type ReadingValue } from '@bellround/acceptance';
import { catalogue, checkDefinition, dutiesMetBy, quickSet } from '@bellround/programmes';
import { fileAt, text, WrongUse, type TerminalAct } from './act.js';

function known(key: string): CheckDefinition {
  const definition = checkDefinition(key);
  if (!definition) throw new Refusal('BadInput', `'${key}' is no check of the catalogue; accepted: ${catalogue.map((one) => one.key).join(', ')}`);
  return definition;
}

export const checks: TerminalAct = {
  name: 'checks', usage: 'checks [key] [--quick]', words: 'Lists the check catalogue, or shows one check: cautions first, then steps, readings, limits with their source, and the duties it meets.', takes: [0, 1],
  options: { quick: { type: 'boolean', words: 'only the quick set: no activation, no hold, no sound' } },
  run: async ({ words, options }) => {
    if (words.length === 1) {
      const definition = known(words[0]!);
      return { data: { ...definition, meets: dutiesMetBy(definition.key) }, lines: oneCheck(definition) };
    }
    const listed = options['quick'] === true ? quickSet : catalogue;
    return { data: listed.map((one) => ({ key: one.key, title: one.title, subject: one.subject, minutes: one.minutes, evidence: one.evidence, needsHold: one.needsHold, sounds: one.sounds })), lines: listed.map((one) => `${one.key.padEnd(22)} ${String(one.minutes).padStart(3)} min  ${one.evidence}  ${one.needsHold ? 'hold ' : '     '}${one.sounds ? 'sounds ' : '       '}${one.title}`) };
  },
};

function oneCheck(d: CheckDefinition): string[] {
  const unit = (given: string) => (given === '' ? '' : ` (${given})`);
  return [
    `${d.title} (${d.key})`, ...d.cautions.map((one) => `CAUTION  ${one}`), 'Local codes and licensed practice prevail.',
    `on a ${d.subject}, ${d.minutes} min, evidence ${d.evidence} at best${d.needsHold ? ', account on test' : ''}${d.sounds ? ', sounds' : ''}${d.licensed ? ', licensed persons' : ''}`,
    ...d.preconditions.map((one) => `before: ${one}`), ...d.procedure.map((step, i) => `${i + 1}. ${step}`),
    ...d.readings.map((r) => `read ${r.key}: ${r.label}${unit(r.unit)}${r.required ? '' : ', where it applies'}${r.choices === undefined ? '' : ` [${r.choices.map((c) => c.code).join(', ')}]`}`),
    ...d.limits.map((l) => `limit ${l.reading}: ${l.computed ?? limitWords(l)}${l.level === 'marginal' ? ' (warns)' : ''} - ${sourceWords(l.source)}`),
    ...d.expectedResponses.map((r) => `must provoke: ${r.what} at the ${r.where} within ${r.withinS} s`), ...d.disturbs.map((one) => `takes out of normal: ${one}`),
    ...d.excusable.map((e) => `excused: ${e.code}, ${e.words} (owed again ${e.owedAgain === 'this-visit' ? 'in this visit' : 'later'})`), ...dutiesMetBy(d.key).map((one) => `meets: ${one.ruleTitle} (${one.programmeTitle})`),
  ];
}

export const judgeCheck: TerminalAct = {
  name: 'judge', usage: 'judge <check> --on <date> [--reading key=value]... [--facts facts.json]',
  words: 'Judges readings of one check as the phone and the house do: verdict, reason, margin, source of the limit, diagnosis from the numbers, trend, and what is still missing.', takes: [1, 1],
  options: { reading: { type: 'string', several: true, words: 'a reading, such as volts=13.6; given again for each' }, facts: { type: 'string', words: 'JSON file with what is known of the subject (battery, load, supply, path, radio, series ...)' }, on: { type: 'string', words: 'date on site, YYYY-MM-DD' } },
  run: async ({ words, options }) => {
    const definition = known(words[0]!);
    const on = text(options['on']);
    if (on === undefined || !/^\d{4}-\d{2}-\d{2}$/.test(on)) throw new WrongUse(`--on is '${on ?? ''}'; accepted is a date such as 2027-03-01`);
    const readings = Object.fromEntries((text(options['reading']) ?? '').split(',').filter((part) => part !== '').map((part) => readingOf(definition, part)));
    const factsFile = text(options['facts']);
    const facts = factsFile === undefined ? {} : (JSON.parse(readFileSync(fileAt(factsFile), 'utf8')) as CheckFacts);
    const problems = readingProblems(definition, readings, on, facts);
    if (problems.length > 0) throw new Refusal('BadInput', problems.map((one) => one.words).join(' '));
    const judged = judge(definition, readings, facts, on);
    const missing = missingProofs(definition, judged);
    return {
      data: { ...judged, missingProofs: missing, trends: readingTrends(definition, facts, readings, on) }, failed: judged.verdict !== 'pass',
      lines: [
        `${judged.verdict}: ${judged.reason}`, ...(judged.margin === null ? [] : [`margin ${judged.margin.value} ${judged.margin.unit}`]), ...(judged.limitSource === null ? [] : [`limit: ${judged.limitSource}`]),
        ...judged.notes, `evidence ${judged.evidence}${judged.reliable ? '' : ', not to be relied on'}`, ...missing.map((one) => `missing, from the ${one.who}: ${one.words}`),
      ],
    };
  },
};

function readingOf(definition: CheckDefinition, part: string): [string, ReadingValue] {
  const at = part.indexOf('=');
  const [key, value] = at < 0 ? [part, ''] : [part.slice(0, at).trim(), part.slice(at + 1).trim()];
  const reading = definition.readings.find((one) => one.key === key);
  if (reading === undefined) throw new Refusal('BadInput', `'${definition.key}' has no reading '${key}'; accepted: ${definition.readings.map((one) => one.key).join(', ')}`);
  if (reading.kind === 'number') return [key, value === '' ? null : Number(value)];
  if (reading.kind === 'yes-no') return [key, ['yes', 'true'].includes(value) ? true : ['no', 'false'].includes(value) ? false : value];
  return [key, value === '' ? null : value];
}
