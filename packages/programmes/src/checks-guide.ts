import { type CheckDefinition, sourceWords } from '@bellround/acceptance';
import { checkDefinition } from './catalogue/index.js';
import { dutiesMetBy } from './check-duties.js';

const subjects = { site: 'site', system: 'system', device: 'device', path: 'path', battery: 'battery' } as const;

/** The check catalogue as a Markdown document for people: cautions first, then steps, readings, what it meets. */
export function checksGuide(definitions: readonly CheckDefinition[]): string {
  return [
    '# The checks, one by one', '',
    'Generated from the check catalogue; a spec holds this file equal to it. What each reading is held against stands in [limits.md](limits.md).',
    "Local codes, the adopted edition, the listing, the maker's instructions and licensed practice prevail; following these steps is not compliance.", '',
    'Evidence: A, confirmed by the station or read on an instrument; B, a technician\'s word; C, declared by the occupant; D, a quick look.', '',
    ...definitions.flatMap(section),
  ].join('\n');
}

function section(d: CheckDefinition): string[] {
  const facts = [
    `on: ${on(d)}`, `${d.minutes} min`, `evidence ${d.evidence} at best`, ...(d.needsHold ? ['needs the account on test'] : []), ...(d.sounds ? ['sounds'] : []),
    ...(d.activation ? ['activates'] : []), ...(d.licensed ? ['licensed persons'] : []), ...(d.restores ? ['closes the visit'] : []),
  ];
  return [
    `## ${d.title}`, '', `\`${d.key}\`; ${facts.join('; ')}.`, '',
    ...d.cautions.map((caution) => `> **Caution.** ${caution}`).flatMap((line, i, all) => (i === all.length - 1 ? [line, ''] : [line, '>'])),
    ...list('Before it starts', d.preconditions), ...list('Comes after', titles(d.after)), ...list('Not together with', titles(d.excludes)), ...list('Takes out of normal', d.disturbs),
    ...d.procedure.map((step, i) => `${i + 1}. ${step}`), '',
    `Readings: ${d.readings.map((r) => `${r.label.toLowerCase()}${r.unit === '' ? '' : ` (${r.unit})`}${r.required ? '' : ', where it applies'}`).join('; ')}.`, '',
    ...list('Must provoke', d.expectedResponses.map((r) => `${r.what} at the ${r.where} within ${r.withinS} s`)), ...list('Excused and owed again', d.excusable.map((e) => `${e.words} (${e.owedAgain === 'this-visit' ? 'in this visit' : 'later'})`)),
    ...list('Meets', meets(d.key)), `Method: ${sourceWords(d.source)}.`, '',
  ];
}

function on({ subject, appliesTo }: CheckDefinition): string {
  const kinds = [...appliesTo.devices, ...appliesTo.paths];
  const of = appliesTo.systems.length === 0 ? '' : ` of ${appliesTo.systems.join(', ')}`;
  const links = appliesTo.links.length === 0 ? '' : ` (${appliesTo.links.join(', ')})`;
  return `${kinds.length === 0 ? subjects[subject] : kinds.join(', ')}${links}${of}`;
}

function titles(keys: readonly string[]): string[] {
  return keys.map((key) => checkDefinition(key)?.title ?? key);
}

function meets(key: string): string[] {
  return dutiesMetBy(key).map((d) => `${d.ruleTitle} (${d.programmeTitle}${d.togetherWith.length === 0 ? '' : `; together with ${titles(d.togetherWith).join(', ')}`})`);
}

function list(name: string, items: readonly string[]): string[] {
  return items.length === 0 ? [] : [`${name}: ${items.join('; ')}.`, ''];
}
