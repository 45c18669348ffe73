import { describe, expect, it } from 'vitest';
import { judge, missingProofs, responseOutcomes, type ResponseAnswer } from './index.js';
import { aDefinition, numbers, today } from './spec-builders.js';

const yesNo = (key: string, required = true) => ({ key, label: key, unit: '', kind: 'yes-no', required }) as const;

describe('[ACC-55] what is missing, and who can still supply it', () => {
  const detector = aDefinition({ readings: [yesNo('seenAtPanel'), yesNo('receivedAtStation', false)] });
  it('the station by its history, the technician on site', () => {
    expect(missingProofs(detector, judge(detector, {}, {}, today))).toEqual([expect.objectContaining({ key: 'seenAtPanel', who: 'technician' }), expect.objectContaining({ key: 'receivedAtStation', who: 'station' })]);
    expect(missingProofs(detector, judge(detector, { seenAtPanel: true }, {}, today))).toEqual([expect.objectContaining({ who: 'station', words: expect.stringContaining('zone and text') })]);
    expect(missingProofs(detector, judge(detector, { seenAtPanel: true, receivedAtStation: true }, {}, today))).toEqual([]);
  });
  it('facts are the office\'s to enter; an expired instrument asks for another', () => {
    const battery = aDefinition({ judge: 'battery-on-load', subject: 'battery', readings: numbers('capacityPct') });
    const judged = judge(battery, { capacityPct: 95 }, { battery: { chemistry: 'lead-acid-sealed', madeOn: '2026-01-01' } }, today);
    expect(missingProofs(battery, judged).map((m) => [m.key, m.who])).toEqual([['load', 'office'], ['battery.ratedMah', 'office']]);
    expect(missingProofs(battery, judged)[0]!.words).toBe('Enter standby and alarm current, hours and minutes of the system.');
    const level = aDefinition({ readings: numbers('level') });
    expect(missingProofs(level, judge(level, { level: 3 }, { instrument: { name: 'Meter', calibratedUntil: '2027-02-28' } }, today))).toEqual([expect.objectContaining({ key: 'instrument', who: 'technician' })]);
  });
});

describe('[ACC-54] expected responses', () => {
  const pulled = aDefinition({ expectedResponses: [{ what: 'mains loss', where: 'panel', withinS: 60 }, { what: 'mains loss', where: 'station', withinS: 10_800 }] });
  const verdicts = (answers: (ResponseAnswer | null)[], sinceS: number) => responseOutcomes(pulled, answers, sinceS).map((one) => one.verdict);
  it.each<[(ResponseAnswer | null)[], number, string[]]>([
    [[{ answer: 'seen', afterS: 5 }, null], 600, ['seen', 'pending']], [[{ answer: 'seen', afterS: 61 }, { answer: 'seen' }], 600, ['late', 'seen']], [[{ answer: 'not-seen' }, { answer: 'not-seen' }], 600, ['missing', 'pending']],
    [[{ answer: 'not-seen' }, null], 30, ['pending', 'pending']], [[null, null], 600, ['not-answered', 'pending']], [[null, null], 10_800, ['not-answered', 'not-answered']], [[{ answer: 'seen' }, { answer: 'not-seen' }], 10_801, ['seen', 'missing']],
    [[{ answer: 'seen', afterS: 60 }, { answer: 'not-provable', because: 'the station delays it' }], 1, ['seen', 'not-provable']],
  ])('%j after %d s: %j', (answers, sinceS, expected) => expect(verdicts(answers, sinceS)).toEqual(expected));
  it('absence is a deficiency, not provable is owed, with its reason', () => {
    const [missing, unprovable] = responseOutcomes(pulled, [{ answer: 'not-seen' }, { answer: 'not-provable', because: 'the line is shared' }], 600);
    expect(missing).toMatchObject({ isDeficiency: true, isOwed: false, words: expect.stringContaining('nobody was told') });
    expect(unprovable).toMatchObject({ isDeficiency: false, isOwed: true, words: expect.stringContaining('the line is shared') });
  });
});
