import type { LocalDate } from '@bellround/recurrence';
import { describe, expect, it } from 'vitest';
import {
  type CreditableCheck, type InstalledSystem, type Programme, type Rule, credits, diffProgrammes, dutiesFor, fireCodeOfPractice2017, fireCodeOfPractice2025,
  fireFrequencyTables, intrusionMonitored, notCreditedBecause, programmeProblems, programmeSchema, proofsOf,
} from './index.js';

const d = (text: string): LocalDate => text as LocalDate;
const ruleOf = (programme: Programme, key: string): Rule => programme.rules.find((rule) => rule.key === key)!;
const check = (part: Partial<CreditableCheck>): CreditableCheck => ({
  id: 'c1', kind: 'battery-on-load', subjectKind: 'battery', subjectId: 'b1', verdict: 'pass', evidence: 'A', performedOn: d('2027-03-01'), source: 'field', licences: [], ...part,
});

describe('what the validator refuses', () => {
  const changed = (change: (rule: Record<string, unknown>) => void): string[] => {
    const copy = JSON.parse(JSON.stringify(intrusionMonitored)) as { rules: Record<string, unknown>[] };
    change(copy.rules[0]!);
    const read = programmeSchema.safeParse(copy);
    return read.success ? [] : read.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`);
  };
  it.each<[string, (rule: Record<string, unknown>) => void, string]>([
    ['a key twice', (rule) => { rule.key = 'mains'; }, 'rule key "mains" stands twice'],
    ['an unknown part', (rule) => { rule.colour = 'red'; }, 'rules.0: Unrecognized key'],
    ['a cadence out of order', (rule) => { rule.cadence = { kind: 'since-last', min: { months: 9 }, nominal: { months: 6 }, max: { months: 7 } }; }, 'min no longer than nominal'],
    ['an unknown cadence', (rule) => { rule.cadence = { kind: 'sometimes' }; }, 'rules.0.cadence'],
    ['device kinds on a system', (rule) => { rule.applies = { deviceKinds: ['smoke'] }; }, 'device kinds and links only narrow subject "device" or a share'],
    ['a quick look for a mandated duty', (rule) => { rule.minEvidence = 'D'; }, 'meets no mandated duty'],
    ['an occupant with a technician\'s evidence', (rule) => { rule.by = 'occupant'; }, 'evidence C'],
    ['licensed without a licence', (rule) => { rule.by = 'licensed'; }, 'names the licences that count'],
    ['a share of nothing', (rule) => { rule.cadence = { kind: 'share', period: 'year', numerator: 1, denominator: 5 }; }, 'a share names the kinds of device'],
    ['reminders out of order', (rule) => { rule.reminderStagesDays = [7, 30]; }, 'largest number first'],
  ])('[PRO-2] %s', (_, change, message) => expect(changed(change).join('\n')).toContain(message));
  it('[PRO-3] a check that is not in the catalogue, or is done on another subject', () => {
    const rule = ruleOf(intrusionMonitored, 'battery');
    const problems = (part: Partial<Rule>) => programmeProblems({ ...intrusionMonitored, rules: [{ ...rule, ...part }] }).join('\n');
    expect(problems({ checkKinds: ['battery-on-lode'] })).toContain('"battery-on-lode" is no check of the catalogue; accepted: ');
    expect(problems({ checkKinds: ['mains-supply'] })).toContain('mains-supply is done on a system, the duty is owed by a battery');
    expect(problems({})).toBe('');
  });
});

const system: InstalledSystem = {
  id: 's1', siteId: 'site', kind: 'intrusion', grade: 'Grade 2', installedOn: d('2026-11-20'), monitored: true,
  devices: [
    { id: 'contact', kind: 'contact', link: 'wireless', madeOn: null, installedOn: d('2026-11-20'), removedOn: null },
    { id: 'glass', kind: 'glass-break', link: 'wired', madeOn: null, installedOn: d('2026-11-20'), removedOn: null },
    { id: 'gone', kind: 'motion', link: 'wired', madeOn: null, installedOn: d('2019-01-01'), removedOn: d('2026-12-01') },
  ],
  paths: [
    { id: 'p1', technology: 'ethernet', category: 'DP2', installedOn: d('2026-11-20'), removedOn: null },
    { id: 'p2', technology: 'cellular', category: 'DP2', installedOn: d('2026-11-20'), removedOn: null },
  ],
  batteries: [{ id: 'b1', chemistry: 'lead-acid-sealed', deviceId: null, madeOn: null, fittedOn: d('2026-11-20'), removedOn: null }],
};

describe('laying a programme on a system', () => {
  const duties = dutiesFor(intrusionMonitored, system, d('2027-01-01'));
  const of = (ruleKey: string) => duties.filter((duty) => duty.ruleKey === ruleKey);
  it('[PRO-5] one duty for each rule and subject it means', () => {
    expect(of('path').map((duty) => duty.subjectId)).toEqual(['p1', 'p2']);
    expect(of('detector').map((duty) => duty.subjectId)).toEqual(['contact']);
    expect(of('acoustic').map((duty) => duty.subjectId)).toEqual(['glass']);
    expect(of('radio-margin').map((duty) => duty.subjectId)).toEqual(['contact']);
    expect(of('path-changeover')).toHaveLength(1);
    expect(of('site-record')).toMatchObject([{ subjectKind: 'site', subjectId: 'site' }]);
    expect(new Set(duties.map((duty) => `${duty.ruleKey} ${duty.subjectId}`)).size).toBe(duties.length);
  });
  it('[PRO-5] removed subjects, other kinds of system and one path alone owe nothing of the kind', () => {
    expect(duties.some((duty) => duty.subjectId === 'gone')).toBe(false);
    expect(dutiesFor(fireFrequencyTables, system, d('2027-01-01'))).toEqual([]);
    expect(dutiesFor(intrusionMonitored, { ...system, paths: system.paths.slice(0, 1) }, d('2027-01-01')).some((duty) => duty.ruleKey === 'path-changeover')).toBe(false);
  });
  it('[PRO-6] counts from a recent commissioning, not from one long past, and not from an unknown manufacture', () => {
    expect(of('mains')[0]!.basisOn).toBe('2026-11-20');
    expect(dutiesFor(intrusionMonitored, { ...system, installedOn: d('2019-05-01') }, d('2027-01-01')).find((duty) => duty.ruleKey === 'mains')!.basisOn).toBeNull();
    expect(of('battery-age')[0]!.basisOn).toBeNull();
  });
  it('[PRO-5] a share names its population, and none without one', () => {
    const heat = (id: string) => ({ id, kind: 'heat' as const, link: 'wired' as const, madeOn: null, installedOn: d('2020-01-01'), removedOn: null });
    const fire = { ...system, kind: 'fire' as const, devices: [heat('h1'), heat('h2')] };
    const share = dutiesFor(fireFrequencyTables, fire, d('2027-01-01')).filter((duty) => duty.ruleKey === 'heat-share');
    expect(share).toHaveLength(1);
    expect(share[0]!.units!.map((unit) => unit.key)).toEqual(['h1', 'h2']);
    expect(dutiesFor(fireFrequencyTables, { ...fire, devices: [] }, d('2027-01-01')).some((duty) => duty.ruleKey === 'heat-share')).toBe(false);
  });
});

describe('crediting', () => {
  const battery = ruleOf(intrusionMonitored, 'battery');
  it.each<[string, Partial<CreditableCheck>, string | null]>([
    ['a pass', {}, null], ['a marginal one', { verdict: 'marginal' }, null], ['a failed one', { verdict: 'fail' }, 'not proven to work'],
    ['an excused one', { verdict: 'excused' }, 'owed again'], ['one not done', { verdict: 'not-done' }, 'not done'],
    ['another kind', { kind: 'mains-supply' }, 'another kind of check'], ['another subject', { subjectKind: 'device' }, 'done on a device, owed by a battery'],
    ['a quick look', { evidence: 'D' }, 'evidence D is below the B'], ['a remote one', { source: 'remote' }, 'this duty needs a visit'],
    ['the occupant\'s', { source: 'occupant', evidence: 'B' }, 'done by the occupant'],
  ])('[PRO-7] %s', (_, part, reason) => {
    const why = notCreditedBecause(battery, check(part));
    if (reason === null) expect(why).toBeNull();
    else expect(why).toContain(reason);
    expect(credits(battery, check(part))).toBe(reason === null);
  });
  it('[PRO-7] a failed check credits tested, where the rule asks no more', () => {
    expect(credits({ ...battery, credits: 'tested' }, check({ verdict: 'fail' }))).toBe(true);
    expect(credits({ ...battery, credits: 'tested' }, check({ verdict: 'excused' }))).toBe(false);
  });
  it('[PRO-7] a licensed duty needs the licence of the day', () => {
    const rule = ruleOf(fireFrequencyTables, 'battery-sealed');
    expect(notCreditedBecause(rule, check({}))).toBe('needs a licence valid on 2027-03-01: fire-alarm');
    expect(credits(rule, check({ licences: ['fire-alarm'] }))).toBe(true);
  });
  it('[PRO-8] several kinds together: the day of the last, within 14 days, then anew', () => {
    const rule = ruleOf(fireCodeOfPractice2017, 'service-visit');
    const part = (id: string, kind: string, on: string) => check({ id, kind, subjectKind: 'system', evidence: 'B', performedOn: d(on) });
    expect(proofsOf(rule, [part('1', 'visual-inspection', '2027-03-01'), part('2', 'event-log-review', '2027-03-15')])).toMatchObject([{ on: '2027-03-15', ref: '2' }]);
    expect(proofsOf(rule, [part('1', 'visual-inspection', '2027-03-01'), part('2', 'event-log-review', '2027-03-16')])).toEqual([]);
    expect(proofsOf(rule, [part('3', 'visual-inspection', '2027-09-01'), part('1', 'visual-inspection', '2027-03-01'), part('2', 'event-log-review', '2027-03-02')])).toHaveLength(1);
  });
  it('[PRO-9] only a manufacture date meets a duty of age', () => {
    const rule = ruleOf(intrusionMonitored, 'battery-age');
    expect(notCreditedBecause(rule, check({}))).toContain('an age is met by a replacement');
    expect(proofsOf(rule, [check({ madeOn: d('2026-10-01') })])).toMatchObject([{ on: '2027-03-01', basisOn: '2026-10-01' }]);
  });
  it('[PRO-10] a share credits exactly the devices checked, by day', () => {
    const rule = ruleOf(fireFrequencyTables, 'heat-share');
    const heat = (id: string, subjectId: string, on: string, verdict: CreditableCheck['verdict'] = 'pass') => check({ id, kind: 'heat-functional', subjectKind: 'device', subjectId, performedOn: d(on), verdict, licences: ['fire-alarm'] });
    expect(proofsOf(rule, [heat('1', 'h1', '2027-03-01'), heat('2', 'h2', '2027-03-01'), heat('3', 'h3', '2027-03-01', 'fail'), heat('4', 'h4', '2027-03-02')]).map((p) => [p.on, p.units]))
      .toEqual([['2027-03-01', ['h1', 'h2']], ['2027-03-02', ['h4']]]);
  });
});

describe('comparing programmes', () => {
  it('[PRO-11] the 2025 edition moves the visits and nothing else', () => {
    const diff = diffProgrammes(fireCodeOfPractice2017, fireCodeOfPractice2025);
    expect([diff.added, diff.removed]).toEqual([[], []]);
    expect(diff.moves.every((key) => key.startsWith('service-'))).toBe(true);
    expect(diff.moves).toHaveLength(5);
  });
  it('[PRO-11] [PRO-13] what is owed after a suspension is a change that moves windows, given or taken away', () => {
    const before = structuredClone(intrusionMonitored);
    const after = structuredClone(before);
    after.rules[0]!.onReturn = 'check';
    const key = after.rules[0]!.key;
    expect(diffProgrammes(before, after)).toMatchObject({ changed: [{ ruleKey: key, part: 'onReturn', before: undefined, after: 'check' }], moves: [key] });
    expect(diffProgrammes(after, before)).toMatchObject({ changed: [{ ruleKey: key, part: 'onReturn', before: 'check', after: undefined }], moves: [key] });
    expect(programmeSchema.safeParse({ ...after, rules: [{ ...after.rules[0], onReturn: 'sometimes' }] }).success).toBe(false);
  });
  it('[PRO-11] the order of keys is no change; an added and a removed rule are told', () => {
    const turned = JSON.parse(JSON.stringify(intrusionMonitored)) as Programme;
    turned.rules = turned.rules.map((rule) => Object.fromEntries(Object.entries(rule).reverse()) as unknown as Rule);
    expect(diffProgrammes(intrusionMonitored, turned)).toMatchObject({ added: [], removed: [], changed: [], moves: [] });
    const [first, ...rest] = intrusionMonitored.rules;
    const other = { ...intrusionMonitored, rules: [...rest, { ...first!, key: 'another' }] };
    const diff = diffProgrammes(intrusionMonitored, other);
    expect([diff.added.map((r) => r.key), diff.removed.map((r) => r.key)]).toEqual([['another'], [first!.key]]);
  });
});
