import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { createContext, runInContext } from 'node:vm';
import type * as Acceptance from '@bellround/acceptance';
import type { CheckDefinition, CheckFacts, ReadingDefinition, ReadingValue } from '@bellround/acceptance';
import { CheckBody, type VisitView } from '@bellround/contracts';
import { aBattery, aCompany, aDevice, anAccount, anId, aPath, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { createPerform, createVisit, openHold, openVisit, recordCheck, recordChecks, showVisit, type Perform, type Who } from '@bellround/operations';
import { catalogue } from '@bellround/programmes';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

// The phone judges with the code of its bundle, from what the visit's answer brought it as JSON; the house judges in the act. The same
// readings go both ways, for every kind of check. The bundle is built as the app's is, and run where no Node is.
const ROOT = join(import.meta.dirname, '..', '..');
const TODAY = '2027-03-01';
const clock = { now: new Date('2027-03-01T09:00:00Z') };
const PER_KIND = 4;

let phone: typeof Acceptance;
let test: TestDatabase;
let perform: Perform;
let tess: Who;
const ids = { companyId: anId(), siteId: anId(), tessId: anId(), visitId: anId() };

/** The engine as the app's own build makes it, minified, in a world that has nothing but the language. */
async function bundled(): Promise<typeof Acceptance> {
  const vite = createRequire(join(ROOT, 'apps', 'web', 'package.json')).resolve('vite');
  const { build } = (await import(pathToFileURL(vite).href)) as { build: (config: object) => Promise<unknown> };
  const built = await build({
    root: ROOT, configFile: false, logLevel: 'silent', resolve: { conditions: ['source', 'module', 'browser', 'development|production'] },
    build: { write: false, target: 'es2022', minify: true, lib: { entry: join(ROOT, 'packages', 'acceptance', 'src', 'index.ts'), formats: ['iife'], name: 'engine' } },
  });
  const [{ output }] = [built].flat() as [{ output: { code: string }[] }];
  const world = createContext({});
  runInContext(output[0]!.code, world);
  return (world as { engine: typeof Acceptance }).engine;
}

beforeAll(async () => {
  phone = await bundled();
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  const { companyId } = ids;
  // One device for each kind of check that is done on devices, in the first kind of system that it applies to.
  const devices = new Map(catalogue.filter((one) => one.subject === 'device').map(({ appliesTo: { systems, devices: kinds, links } }) => [`${systems[0] ?? 'intrusion'} ${kinds[0] ?? 'motion'} ${links[0] ?? 'wired'}`, [systems[0] ?? 'intrusion', kinds[0] ?? 'motion', links[0] ?? 'wired'] as const]));
  const users = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId, { settings: { supplyRatedMv: 13_800, backgroundWarnDb: 60 } });
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId });
    for (const kind of ['intrusion', 'fire', 'hold-up', 'medical', 'co', 'environmental', 'home-automation']) {
      const system = await aSystem(tx, companyId, { siteId: ids.siteId, kind, name: kind, accountId: account.id, standbyMa: 350, alarmMa: 1200, standbyHours: 12, alarmMin: 15, controlUnit: 'CU-1' });
      await aBattery(tx, companyId, { systemId: system.id, nominalMv: 12_000 });
      for (const [rank, technology] of ['ethernet', 'cellular', 'line'].entries()) await aPath(tx, companyId, { systemId: system.id, rank: rank + 1, technology, label: technology, category: 'DP2', testIntervalMin: 1440, registered: rank !== 1 });
      for (const [of, device, link] of devices.values()) if (of === kind) await aDevice(tx, companyId, { systemId: system.id, kind: device, link, label: `${device} ${link}`, madeOn: day('2019-05-02'), madeOnState: 'known' });
    }
    await aTechnician(tx, companyId, { id: ids.tessId });
    return [await aUser(tx, companyId, { role: 'owner', name: 'Ann' }), await aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.tessId })];
  });
  const who = (n: number, role: Who['role'], technicianId: string | null): Who => ({ companyId, userId: users[n]!.id, role, name: role, technicianId });
  tess = who(1, 'technician', ids.tessId);
  await perform(createVisit, who(0, 'owner', null), { id: ids.visitId, siteId: ids.siteId, kind: 'urgent', pick: 'chosen', dutyIds: [], deficiencyIds: [], persons: 1, day: TODAY, technicianId: ids.tessId });
  await perform(openVisit, tess, { visitId: ids.visitId, id: anId() });
  const { accounts } = await perform(showVisit, tess, { visitId: ids.visitId });
  await perform(openHold, tess, { visitId: ids.visitId, id: anId(), accountId: accounts[0]!.id, parts: [], stationReference: 'REF-1', operatorName: 'Ines Porto', untilAt: '2027-03-01T20:00:00.000Z' });
}, 120_000);
afterAll(() => test.drop());

/** Numbers of one seed; the same run always sends the same readings. */
function numbersFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state * 1_664_525 + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

function valueOf(reading: ReadingDefinition, next: () => number): ReadingValue | undefined {
  const dice = next();
  if (dice < 0.12) return undefined;
  if (dice < 0.15) return reading.kind === 'number' ? (reading.max ?? 1000) + 1000 : 'x';
  switch (reading.kind) {
    case 'number': {
      const limits = catalogue.flatMap((one) => one.limits).filter((one) => one.reading === reading.key && typeof one.value === 'number').map((one) => one.value as number);
      // Every third number lies on a limit of its name or a little beside it, where verdicts turn.
      if (limits.length > 0 && next() < 0.4) return limits[Math.floor(next() * limits.length)]! + [0, 0.1, -0.1][Math.floor(next() * 3)]!;
      return Math.round(100 * ((reading.min ?? 0) + next() ** 2 * ((reading.max ?? 100) - (reading.min ?? 0)))) / 100;
    }
    case 'yes-no': return next() < 0.75;
    case 'choice': return reading.choices![Math.floor(next() * reading.choices!.length)]!.code;
    case 'date': return `20${10 + Math.floor(next() * 25)}-0${1 + Math.floor(next() * 9)}-1${Math.floor(next() * 10)}`;
    case 'text': return ['2.1', 'A1', ''][Math.floor(next() * 3)]!;
  }
}

const onPhone = (view: VisitView, definition: CheckDefinition, subjectId: string, readings: Record<string, ReadingValue>) => {
  const facts = view.checkFacts[subjectId] as CheckFacts;
  const problems = phone.readingProblems(definition, readings, TODAY, facts);
  return { problems: problems.map((one) => one.words), judged: phone.judge(definition, readings, facts, TODAY) };
};
const asJson = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;

describe('[ACC-1] the phone’s bundle and the house judge alike', () => {
  it('random readings of every kind of check: verdict, reasons, margin, limit’s source, evidence, or the same refusal', async () => {
    const view = asJson(await perform(showVisit, tess, { visitId: ids.visitId }));
    const parts = [
      { kind: 'site', id: view.site.id }, ...view.systems.map((one) => ({ kind: 'system', id: one.id })), ...view.devices.map((one) => ({ kind: 'device', id: one.id })), ...view.batteries.map((one) => ({ kind: 'battery', id: one.id })), ...view.paths.map((one) => ({ kind: 'path', id: one.id })),
    ];
    const next = numbersFrom(20_270_301);
    const sent = catalogue.flatMap(({ key }) => Array.from({ length: PER_KIND }, () => key)).flatMap((key) => {
      const definition = view.definitions.find((one) => one.key === key)!;
      const fitting = parts.filter((part) => part.kind === definition.subject && isFor(view, definition, part.id));
      const part = fitting[Math.floor(next() * fitting.length)]!;
      const readings = Object.fromEntries(definition.readings.flatMap((reading) => { const value = valueOf(reading, next); return value === undefined ? [] : [[reading.key, value]]; }));
      return [{ definition, part, readings, body: CheckBody.parse({ id: anId(), checkKind: key, subjectKind: part.kind, subjectId: part.id, readings, deviceClockAt: clock.now.toISOString(), deviceClockNow: clock.now.toISOString() }) }];
    });
    const answers = new Map<string, Awaited<ReturnType<typeof recordOnce>>[number]>();
    for (let from = 0; from < sent.length; from += 60) for (const answer of await recordOnce(sent.slice(from, from + 60).map((one) => one.body))) answers.set(answer.id, answer);
    const seen = new Map<string, Set<string>>();
    for (const { definition, part, readings, body } of sent) {
      const { problems, judged } = onPhone(view, definition, part.id, readings);
      const { recorded, problem } = answers.get(body.id)!;
      const said = `${definition.key} ${JSON.stringify(readings)}`;
      seen.set(definition.key, (seen.get(definition.key) ?? new Set()).add(problems.length > 0 ? 'refused' : judged.verdict));
      if (problems.length > 0) {
        expect([problem?.name, problem?.detail], said).toEqual(['BadInput', problems.join(' ')]);
        continue;
      }
      expect(problem, said).toBeNull();
      const { check } = recorded!;
      expect({ verdict: check.computedVerdict, margin: check.marginValue, unit: check.marginUnit, source: check.limitSource, evidence: check.evidence, notes: check.judgement.notes, missing: check.judgement.missing, reliable: check.judgement.reliable }, said).toEqual(asJson({
        verdict: judged.applicable ? judged.verdict : 'not-applicable', margin: judged.margin?.value ?? null, unit: judged.margin?.unit ?? null, source: judged.limitSource, evidence: judged.evidence, notes: judged.notes, missing: judged.missing, reliable: judged.reliable,
      }));
      expect(check.reason, said).toBe(judged.reason);
    }
    // Not empty: every kind was judged, and each verdict was among them.
    expect(seen.size).toBe(catalogue.length);
    const all = new Set([...seen.values()].flatMap((one) => [...one]));
    expect([...all].toSorted()).toEqual(['fail', 'marginal', 'not-enough-data', 'pass', 'refused']);
  }, 240_000);

  it('a phone whose catalogue is older: the house’s verdict stands, the phone’s is kept beside it and told', async () => {
    const view = asJson(await perform(showVisit, tess, { visitId: ids.visitId }));
    const path = view.paths.find((one) => one.kind === 'ethernet')!;
    const now = view.definitions.find((one) => one.key === 'transmission-path')!;
    const older = { ...now, params: { ...now.params, roundTripLimitS: 300 }, limits: now.limits.map((one) => (one.reading === 'roundTripS' ? { ...one, value: 300 } : one)) };
    const readings = { receivedAtStation: true, roundTripS: 200 };
    const { judged } = onPhone(view, older, path.id, readings);
    expect(judged.verdict).toBe('pass');
    const { check, phoneDiffers } = await perform(recordCheck, tess, { visitId: ids.visitId, ...CheckBody.parse({ id: anId(), checkKind: now.key, subjectKind: 'path', subjectId: path.id, readings, phoneVerdict: judged.verdict }) });
    expect([check.verdict, check.computedVerdict, check.judgement.phoneVerdict, phoneDiffers]).toEqual(['fail', 'fail', 'pass', true]);
  });

  it('a check or a reading that the catalogue has no more is refused by its name; one that it asks for since leaves the check unproven', async () => {
    const view = asJson(await perform(showVisit, tess, { visitId: ids.visitId }));
    const path = view.paths.find((one) => one.kind === 'ethernet')!;
    const send = (over: object) => perform(recordCheck, tess, { visitId: ids.visitId, ...CheckBody.parse({ id: anId(), checkKind: 'transmission-path', subjectKind: 'path', subjectId: path.id, readings: {}, ...over }) });
    await expect(send({ checkKind: 'of-last-year' })).rejects.toThrow(/'of-last-year' is no check of the catalogue/);
    await expect(send({ readings: { receivedAtStation: true, ofLastYear: 1 } })).rejects.toThrow(/has no reading 'ofLastYear'/);
    const { check } = await send({ readings: { roundTripS: 4 }, phoneVerdict: 'pass' });
    expect([check.verdict, check.computedVerdict]).toEqual(['not-done', 'not-enough-data']);
  });
});

async function recordOnce(checks: CheckBody[]) {
  return (await perform(recordChecks, tess, { visitId: ids.visitId, checks })).answers;
}

/** As the to-do list does: a kind of check on a part that it applies to. */
function isFor(view: VisitView, { subject, appliesTo }: CheckDefinition, id: string): boolean {
  const among = (list: readonly string[], value: string | undefined) => list.length === 0 || (value !== undefined && list.includes(value));
  const device = view.devices.find((one) => one.id === id);
  const systemId = device?.systemId ?? view.batteries.find((one) => one.id === id)?.systemId ?? view.paths.find((one) => one.id === id)?.systemId ?? (subject === 'site' ? view.systems[0]!.id : id);
  const system = view.systems.find((one) => one.id === systemId)!;
  if (!among(appliesTo.systems, system.kind)) return false;
  return device ? among(appliesTo.devices, device.kind) && among(appliesTo.links, device.link) : among(appliesTo.paths, view.paths.find((one) => one.id === id)?.kind);
}
