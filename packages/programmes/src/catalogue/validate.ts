import { type CheckDefinition, judgeNames } from '@bellround/acceptance';

/** What is incomplete or contradictory in a set of check definitions, one sentence each; empty when all is well. */
export function catalogueProblems(definitions: readonly CheckDefinition[]): string[] {
  const keys = definitions.map((d) => d.key);
  const twice = keys.filter((key, i) => keys.indexOf(key) !== i).map((key) => `${key}: the key stands twice.`);
  return [...twice, ...definitions.flatMap((d) => problemsOf(d, keys).map((words) => `${d.key}: ${words}`)), ...cycles(definitions)];
}

function problemsOf(d: CheckDefinition, keys: readonly string[]): string[] {
  const readings = new Set(d.readings.map((r) => r.key));
  const unknown = [...d.after, ...d.excludes].filter((key) => !keys.includes(key));
  return [
    ...when(!/^[a-z][a-z0-9-]*$/.test(d.key), 'the key is not kebab-case.'),
    ...when(d.title === '' || d.procedure.length < 1, 'title or procedure is empty.'),
    ...when(d.readings.length === 0, 'no reading.'),
    ...when(readings.size !== d.readings.length, 'two readings of one key.'),
    ...when(!judgeNames.includes(d.judge), `no judge '${d.judge}'.`),
    ...when(d.limits.length === 0, 'no limit.'),
    ...d.limits.flatMap((l) => [
      ...when(!readings.has(l.reading), `limit on '${l.reading}', which is no reading.`),
      ...when(l.source.text === '' || l.source.provenance === '', `limit on '${l.reading}' has no source.`),
      ...when(l.value === null && (l.computed ?? '') === '', `limit on '${l.reading}' has neither value nor how it is computed.`),
      ...when(l.value === null && d.judge === 'limits', `limit on '${l.reading}' is computed, but the judge 'limits' computes nothing.`),
    ]),
    ...d.readings.flatMap((r) => [
      ...when(r.kind === 'choice' && (r.choices ?? []).length < 2, `reading '${r.key}' offers fewer than two choices.`),
      ...when(r.kind === 'number' && !(r.min !== undefined && r.max !== undefined && r.min < r.max), `reading '${r.key}' has no believable range.`),
      ...when(r.label === '', `reading '${r.key}' has no label.`),
    ]),
    ...when((d.needsHold || d.activation) && d.procedure.length < 3, 'is activated or needs a hold, and tells fewer than three steps.'),
    ...when(d.procedure.length > 6, 'tells more than six steps: nobody reads them on a ladder.'),
    ...when(d.disturbs.length > 0 && d.cautions.length === 0, 'takes something out of normal, and has no caution.'),
    ...when((d.needsHold || d.sounds) && d.cautions.length === 0, 'needs a hold or sounds, and has no caution.'),
    ...when(d.needsHold && !d.cautions.some((c) => c.includes('on test')), 'needs a hold, and no caution says so.'),
    ...when(d.sounds && !d.cautions.some((c) => c.toLowerCase().includes('hearing')), 'sounds, and has no caution for hearing.'),
    ...when(d.licensed && !d.cautions.some((c) => c.includes('licensed practice prevail')), 'needs a licence, and does not say what prevails.'),
    ...when(d.activation && !d.restores && d.expectedResponses.length === 0, 'is activated and expects no response.'),
    ...when(!(d.minutes >= 0), 'minutes below 0.'),
    ...unknown.map((key) => `names '${key}', which is not in the catalogue.`),
    ...when(d.source.text === '' || d.source.provenance === '', 'no source.'),
  ];
}

function when(wrong: boolean, words: string): string[] {
  return wrong ? [words] : [];
}

function cycles(definitions: readonly CheckDefinition[]): string[] {
  const after = new Map(definitions.map((d) => [d.key, d.after]));
  const reaches = (from: string, to: string, seen: Set<string>): boolean =>
    (after.get(from) ?? []).some((key) => key === to || (!seen.has(key) && reaches(key, to, seen.add(key))));
  return definitions.filter((d) => reaches(d.key, d.key, new Set())).map((d) => `${d.key}: must come after itself.`);
}
