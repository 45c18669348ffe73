import { Refusal } from '@bellround/contracts';
import { siteComponents, type Prisma } from '@bellround/database';
import { aBattery, aCompany, aDevice, anId, aPath, aSite, aSystem, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { catalogue } from '@bellround/programmes';
import { addDays, dayNumber, localDate } from '@bellround/recurrence';
import { COMPONENT_CLASSES, FAILURE_MODES } from '@bellround/risk';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { fitCompany, scoreWholeCompany } from '../renew-exposure.js';
import { batteryForecastOf } from './battery-forecast.js';
import { exportBatteryForecast } from './export-battery-forecast.js';
import { listExposure } from './list-exposure.js';
import { listRiskVersions } from './list-risk-versions.js';
import { loadRiskHistory } from './load-risk-history.js';
import { presentRiskVersion } from './present-risk-version.js';
import { saveRiskVersion } from './save-risk-version.js';
import { showExposure } from './show-exposure.js';
import { showRiskModel } from './show-risk-model.js';
import { PART_KINDS, sitesOf } from './steps.js';
import { whatIfExposure } from './what-if-exposure.js';

const SITES = 140;
const ROUNDS = ['2024-03-10', '2025-03-10', '2026-03-10', '2027-02-10'];
const clock = { now: new Date('2027-03-01T09:00:00Z') };
const companyId = anId();
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
const other: Who = { ...who, companyId: anId() };
let test: TestDatabase;
let perform: Perform;
const inside = <T>(act: Parameters<TestDatabase['database']['inCompany']>[1]) => test.database.inCompany({ companyId, actorId: null }, act) as Promise<T>;
const sites: { siteId: string; systemId: string; batteryId: string; sensorId: string; age: number; ratedMah: number }[] = [];

let state = 20270301;
const random = (): number => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 4294967296;
};

type CheckRow = Prisma.CheckCreateManyInput;
function aCheck(site: (typeof sites)[number], subjectKind: string, subjectId: string, checkKind: string, on: string, verdict: string): CheckRow {
  return { companyId, id: anId(), bodyDigest: 'x', siteId: site.siteId, systemId: site.systemId, subjectKind, subjectId, checkKind, performedOn: day(on), performedAt: new Date(`${on}T10:00:00Z`), recordedAt: new Date(`${on}T11:00:00Z`), verdict, reason: 'x', evidence: 'B', source: 'field' };
}

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  await inside(async (tx) => {
    await aCompany(tx, companyId);
    const client = (await aSite(tx, companyId, { name: 'Bare yard', occupancy: 'warehouse' })).clientId;
    await aSite(tx, companyId, { clientId: client, name: 'Closed shop', closedOn: day('2026-01-01') });
    for (let n = 0; n < SITES; n++) {
      const site = { siteId: anId(), systemId: anId(), batteryId: anId(), sensorId: anId(), age: Math.floor(4 * random()), ratedMah: n % 2 === 0 ? 7000 : 17000 };
      await aSite(tx, companyId, { id: site.siteId, clientId: client, name: `Site ${n}`, occupancy: n % 5 === 0 ? 'school' : 'shop' });
      await aSystem(tx, companyId, { id: site.systemId, siteId: site.siteId, installedOn: day('2020-01-10') });
      await aBattery(tx, companyId, { id: site.batteryId, systemId: site.systemId, madeOn: day(`${2023 - site.age}-06-01`), fittedOn: day(`${2023 - site.age}-07-01`), ratedMah: site.ratedMah, temperatureC: 25 });
      await aPath(tx, companyId, { systemId: site.systemId, installedOn: day('2020-01-10'), supervisionS: 3600 });
      await aDevice(tx, companyId, { id: site.sensorId, systemId: site.systemId, kind: 'motion', label: 'Hall', installedOn: day('2020-01-10') });
      sites.push(site);
    }
  });
  // A battery found failed is replaced four days later; one in twenty-five detectors is found deaf and put right.
  const batteries: Prisma.BatteryUncheckedCreateInput[] = [];
  const removed: { id: string; on: string }[] = [];
  const checks = sites.flatMap((site) => {
    let made = `${2023 - site.age}-06-01`;
    return ROUNDS.flatMap((on) => {
      const years = (Date.parse(on) - Date.parse(made)) / 31_557_600_000;
      const failed = random() < Math.min(0.95, (years / 6) ** 3);
      const deaf = random() < 0.04;
      const later = addDays(localDate(on), 4);
      const found = [aCheck(site, 'battery', site.batteryId, 'battery-on-load', on, failed ? 'fail' : 'pass'), aCheck(site, 'device', site.sensorId, 'detector-actuation', on, deaf ? 'fail' : 'pass'), aCheck(site, 'system', site.systemId, 'supply-voltage', on, 'pass')];
      if (deaf) found.push(aCheck(site, 'device', site.sensorId, 'detector-actuation', later, 'pass'));
      if (failed) {
        removed.push({ id: site.batteryId, on: later });
        made = later;
        site.batteryId = anId();
        batteries.push({ companyId, id: site.batteryId, externalKey: site.batteryId, systemId: site.systemId, label: 'Standby battery', chemistry: 'lead-acid-sealed', ratedMah: site.ratedMah, madeOn: day(made), madeOnState: 'known', fittedOn: day(made), temperatureC: 25, createdAt: clock.now });
      }
      return found;
    });
  });
  await inside(async (tx) => {
    await tx.db.battery.createMany({ data: batteries });
    for (const { id, on } of removed) await tx.db.battery.update({ where: { companyId_id: { companyId, id } }, data: { removedOn: day(on) } });
  });
  const read = ROUNDS.slice(1).map((on, at) => ({ check: aCheck(sites[0]!, 'device', sites[0]!.sensorId, 'wireless-margin', on, 'pass'), level: -70 - 3 * at }));
  await inside(async (tx) => {
    await tx.db.check.createMany({ data: [...checks, ...read.map((one) => one.check)] });
    await tx.db.reading.createMany({ data: read.flatMap(({ check, level }) => [['levelDbm', level], ['noiseDbm', -95]].map(([key, number]) => ({ companyId, checkId: check.id as string, key: String(key), number: Number(number) }))) });
  });
});
afterAll(() => test.drop());

describe('the life of a model', () => {
  it('a first version is judged on the last year by its twin, beats the starting rules, and carries its report', async () => {
    const kept = await fitCompany(perform, who, 3);
    expect(kept).toMatchObject({ isNew: true, promoted: true });
    const shown = (await perform(showRiskModel, who, {}))!;
    expect(shown).toMatchObject({ id: kept.modelId, promoted: true, fromDay: '2024-03-10', toDay: '2027-03-01' });
    const report = shown.report!;
    expect(report.heldBack).toEqual({ from: '2026-03-01', to: '2027-03-01' });
    // Batteries replaced in the year before they could fail are left out; every detector and supply was looked at.
    expect(report.cases).toBeGreaterThan(SITES * 2.5);
    expect(report.happened).toBeGreaterThan(30);
    expect(report.present).toMatchObject({ version: 'starting rules' });
    expect(report.ours!.brier).toBeLessThanOrEqual(report.present!.brier * 1.002);
    expect(report.ours!.calibration.length).toBeGreaterThan(4);
    expect(report.rules.map((one) => one.rule)).toEqual(['age-only', 'last-result-only']);
    for (const { ours } of report.rules) for (const interval of [ours.areaUnderCurve, ours.brier]) expect(interval.low).toBeLessThanOrEqual(interval.high);
    expect(report.byClass.reduce((sum, one) => sum + one.cases, 0)).toBe(report.cases);
    expect(shown.classes.find((one) => one.class === 'detector-wireless')).toMatchObject({ source: 'own history' });
    expect(shown.settings.every((one) => one.source !== '')).toBe(true);
    expect(report).not.toHaveProperty('twin');
  });

  it('the twin knows nothing of the interval it is judged on', async () => {
    const present = (await perform(presentRiskVersion, who, {}))!;
    expect(present.twin!.window).toEqual({ from: '2024-03-10', to: '2026-03-01' });
    const { records } = await perform(loadRiskHistory, who, { afterSiteId: null });
    const failuresOf = (history: typeof records.history) => history.find((one) => one.class === 'battery')!.failures;
    const known = await inside<number>((tx) => tx.db.check.count({ where: { companyId, checkKind: 'battery-on-load', verdict: 'fail', performedOn: { lte: day('2026-03-01') } } }));
    expect(failuresOf(records.before)).toBe(known);
    expect(failuresOf(records.history)).toBeGreaterThan(known);
    for (const one of records.cases) expect(one.fromDay).toBeLessThan(one.untilDay);
  });

  it('the same history again adds nothing; another day makes a further version, and one is in use', async () => {
    expect(await fitCompany(perform, who, 3)).toMatchObject({ isNew: false });
    clock.now = new Date('2027-03-02T09:00:00Z');
    expect(await fitCompany(perform, who, 3)).toMatchObject({ isNew: true, promoted: true });
    const { rows, total } = await perform(listRiskVersions, who, { limit: 10, offset: 0 });
    expect(total).toBe(2);
    expect(rows.filter((row) => row.inUse)).toHaveLength(1);
    expect(rows[0]).toMatchObject({ inUse: true, accepted: true });
  });

  it('a version spoiled by wrong verdicts is refused, kept with its reason, and the one in use stays', async () => {
    const before = (await perform(presentRiskVersion, who, {}))!;
    const wrong = sites.flatMap((site) => ['2025-06-01', '2025-07-01', '2025-08-01', '2025-09-01'].flatMap((on) => [aCheck(site, 'device', site.sensorId, 'detector-actuation', on, 'fail'), aCheck(site, 'device', site.sensorId, 'detector-actuation', addDays(localDate(on), 1), 'pass')]));
    await inside((tx) => tx.db.check.createMany({ data: wrong }));
    clock.now = new Date('2027-03-03T09:00:00Z');
    const kept = await fitCompany(perform, who, 3);
    expect(kept).toMatchObject({ isNew: true, promoted: false });
    expect(kept.why).toMatch(/is worse than/);
    expect((await perform(presentRiskVersion, who, {}))!.id).toBe(before.id);
    const refused = (await perform(showRiskModel, who, { id: kept.modelId }))!;
    expect(refused.report).toMatchObject({ promote: false, why: kept.why, present: { version: before.version } });
    expect((await perform(listRiskVersions, who, { limit: 1, offset: 0 })).rows[0]).toMatchObject({ inUse: false, accepted: false, why: kept.why });
  });

  it('a version judged against one that is no longer in use is not kept', async () => {
    const { twin, ...fitted } = { twin: null, model: { version: 'x', window: null } as never, report: { promote: true, why: '' } as never };
    await expect(perform(saveRiskVersion, who, { fitted: { twin, ...fitted }, presentId: anId() })).rejects.toThrow(Refusal);
  });
});

describe('scores', () => {
  it('every open site is on the list, the one without a system too; a closed one is not', async () => {
    expect(await scoreWholeCompany(perform, who)).toBe(SITES + 1);
    const { rows, total } = await perform(listExposure, who, { limit: 500, offset: 0 });
    expect(total).toBe(SITES + 1);
    expect(rows.map((row) => row.siteName)).toContain('Bare yard');
    expect(rows.map((row) => row.siteName)).not.toContain('Closed shop');
    expect(rows.map((row) => row.score)).toEqual(rows.map((row) => row.score).toSorted((a, b) => b - a));
    const bare = rows.find((row) => row.siteName === 'Bare yard')!;
    expect(bare.missingCount).toBe(5);
    expect(bare.percentile).toBeGreaterThan(50);
  });

  it('a cause keeps the sites whose exposure is made of it first of all, and counts agree', async () => {
    const { causes, total } = await perform(listExposure, who, { limit: 1, offset: 0 });
    expect(causes.reduce((sum, one) => sum + one.sites, 0)).toBe(total);
    expect(causes.length).toBeGreaterThan(1);
    for (const { cause, sites: count } of causes) {
      const found = await perform(listExposure, who, { cause, limit: 500, offset: 0 });
      expect(found.total).toBe(count);
      expect(new Set(found.rows.map((row) => row.mainCause))).toEqual(new Set([cause]));
    }
    expect((await perform(listExposure, who, { search: '100%', limit: 5, offset: 0 })).total).toBe(0);
  });

  it('a site shows shares that sum to one, its planned proofs, and a curve that never falls', async () => {
    await inside((tx) => tx.db.visit.create({ data: { companyId, id: anId(), siteId: sites[0]!.siteId, kind: 'programme', state: 'published', title: 'Yearly service', serviceMin: 60, day: day('2027-03-20'), createdAt: clock.now } }));
    const shown = await perform(showExposure, who, { siteId: sites[0]!.siteId });
    expect(shown.shares.reduce((sum, one) => sum + one.share, 0)).toBeCloseTo(1, 9);
    expect(shown.nextProofOn).toBe('2027-03-20');
    expect(shown.proofs).toEqual([{ on: '2027-03-20', why: 'Yearly service (published)', exposureH: expect.closeTo(shown.exposureH, 6) }]);
    const until = shown.curve.map((point) => point.exposureH);
    expect(until).toEqual(until.toSorted((a, b) => a - b));
    expect(shown.components.map((one) => one.class)).toContain('detector-wireless');
    expect(shown.links.filter((link) => link.weakest)).toHaveLength(1);
    // 95 less 76: level over noise, not the part above the limit.
    expect([...shown.reasons, ...shown.links.map((link) => link.sentence)].join(' ')).toMatch(/radio margin 19 dB/);
    await expect(perform(showExposure, other, { siteId: sites[0]!.siteId })).rejects.toThrow('NotFound');
  });

  it('what is kept of a site is what is computed of it', async () => {
    for (const site of [sites[3]!, sites[5]!, sites[10]!]) {
      const shown = await perform(showExposure, who, { siteId: site.siteId });
      const kept = await inside<{ score: number; exposureH: number } | null>((tx) => tx.db.siteExposure.findUnique({ where: { companyId_siteId: { companyId, siteId: site.siteId } } }));
      expect(kept!.score).toBeCloseTo(shown.score, 9);
      expect(kept!.exposureH).toBeCloseTo(shown.exposureH, 9);
    }
  });

  it('a margin that shrinks from visit to visit has its trend: 6 dB in 702 days; a device is as its site unless it says otherwise, and a place nobody recorded is unknown', async () => {
    const first = sites[0]!;
    const rows = await inside<Awaited<ReturnType<typeof siteComponents>>>((tx) => siteComponents(tx, [first.siteId], '2027-03-03', PART_KINDS));
    const sensor = sitesOf(rows, 20_880)[0]!.input.systems[0]!.components.find((one) => one.id === first.sensorId)!;
    expect(sensor.marginDb).toBe(19);
    expect(sensor.marginTrendDbPerYear).toBeCloseTo((6 / 702) * 365.25, 1);
    expect(sensor).toMatchObject({ harsh: null, verdicts: expect.any(Number), cohort: 2020 });
    // As its site says, unless it says otherwise itself; undone again.
    const harshOf = (environment: string | null, own: string | null) => inside(async (tx) => {
      await tx.db.site.update({ where: { companyId_id: { companyId, id: first.siteId } }, data: { environment } });
      await tx.db.device.update({ where: { companyId_id: { companyId, id: first.sensorId } }, data: { environment: own } });
      const components = sitesOf(await siteComponents(tx, [first.siteId], '2027-03-03', PART_KINDS), 20_880)[0]!.input.systems[0]!.components;
      return [components.find((one) => one.id === first.sensorId)!.harsh, components.find((one) => one.class === 'supply')!.harsh];
    });
    expect(await harshOf('mild', null)).toEqual([false, false]);
    expect(await harshOf('mild', 'harsh')).toEqual([true, false]);
    expect(await harshOf(null, null)).toEqual([null, null]);
  });

  it('service before a site\'s records began counts one interval of its looks; what was fitted since counts whole', async () => {
    const rows = await inside<Awaited<ReturnType<typeof siteComponents>>>((tx) => siteComponents(tx, [sites[0]!.siteId], '2027-03-03', PART_KINDS));
    const daysOf = (change: object) => sitesOf(rows.map((row) => ({ ...row, first_seen: '2024-03-10', last_seen: '2027-03-10', look_days: 4, site_first_seen: '2024-03-10', ...change })), dayNumber(localDate('2027-03-20')))[0]!.input.systems[0]!.components.find((one) => one.id === sites[0]!.sensorId)!.hoursInService / 24;
    const since = (on: string) => dayNumber(localDate('2027-03-20')) - dayNumber(localDate(on));
    expect(daysOf({ installed_on: '2020-01-10' })).toBe(since('2023-03-11'));
    expect(daysOf({ installed_on: '2023-12-01' })).toBe(since('2023-12-01'));
    expect(daysOf({ installed_on: '2024-05-01', first_seen: '2026-03-10', look_days: 2 })).toBe(since('2024-05-01'));
    expect(daysOf({ installed_on: '2020-01-10', look_days: 1, last_seen: '2024-03-10' })).toBe(since('2024-03-10') + 182);
    expect(daysOf({ installed_on: null })).toBe(since('2024-03-10'));
  });

  it('a fault found again by the same check, not good in between, is the same failure', async () => {
    const site = sites[4]!;
    const failures = async () => (await inside<Awaited<ReturnType<typeof siteComponents>>>((tx) => siteComponents(tx, [site.siteId], '2027-03-03', PART_KINDS))).find((row) => row.id === site.sensorId)!.failures;
    const before = await failures();
    await inside((tx) => tx.db.check.createMany({ data: ['2027-02-20', '2027-02-24', '2027-02-27'].map((on, n) => aCheck(site, 'device', site.sensorId, 'detector-actuation', on, n === 2 ? 'pass' : 'fail')) }));
    expect(await failures()).toBe(before + 1);
  });

  it('a retired system no longer counts', async () => {
    const site = sites[1]!;
    const before = await perform(showExposure, who, { siteId: site.siteId });
    const systemId = anId();
    await inside((tx) => aSystem(tx, companyId, { id: systemId, siteId: site.siteId, kind: 'fire', retiredOn: day('2026-01-01') }));
    expect((await perform(showExposure, who, { siteId: site.siteId })).exposureH).toBeCloseTo(before.exposureH, 9);
  });

  it('what-if: a new battery takes exposure off; a past day and another company are refused', async () => {
    const old = sites.find((site) => site.age === 3)!;
    const answer = await perform(whatIfExposure, who, { siteId: old.siteId, change: { kind: 'replace-component', systemId: old.systemId, componentId: old.batteryId } });
    expect(answer.savedH).toBeGreaterThan(0);
    expect(answer.scoreAfter).toBeLessThan(answer.scoreBefore);
    const later = await perform(whatIfExposure, who, { siteId: old.siteId, change: { kind: 'visit-on', on: '2027-03-04' } });
    expect(later.sentence).toMatch(/visiting in 1 days/);
    await expect(perform(whatIfExposure, who, { siteId: old.siteId, change: { kind: 'visit-on', on: '2027-03-01' } })).rejects.toThrow(/past; accepted: 2027-03-03 or later/);
    await expect(perform(whatIfExposure, who, { siteId: old.siteId, change: { kind: 'replace-component', systemId: old.systemId, componentId: 'none' } })).rejects.toThrow('BadInput');
    await expect(perform(whatIfExposure, other, { siteId: old.siteId, change: { kind: 'prove-every', days: 90 } })).rejects.toThrow('NotFound');
  });
});

describe('the battery forecast', () => {
  it('counts every battery in service by rating; a failed one is ordered now', async () => {
    const failed = sites[2]!;
    await inside((tx) => tx.db.check.create({ data: aCheck(failed, 'battery', failed.batteryId, 'battery-on-load', '2027-03-01', 'fail') }));
    const forecast = await perform(batteryForecastOf, who, { months: 6 });
    expect(forecast.inService).toBe(SITES);
    expect(forecast.ratings.map((one) => [one.ratedMah, one.inService])).toEqual([[7000, SITES / 2], [17000, SITES / 2]]);
    const seven = forecast.ratings[0]!;
    expect(seven.failedNow).toBe(1);
    expect(seven.expected).toHaveLength(6);
    expect(seven.orderNow).toBeGreaterThanOrEqual(1 + Math.ceil(seven.expected.slice(0, 3).reduce((a, b) => a + b, 0)));
    expect(forecast.batteries[0]).toMatchObject({ siteId: failed.siteId, failedNow: true, chance: 1 });
    const { csv } = await perform(exportBatteryForecast, who, { months: 2 });
    expect(csv.split('\r\n').filter(Boolean).map((line) => line.split(',').slice(0, 2).join(' '))).toEqual(['rated_ah month_from', '7 2027-03-03', '7 2027-04-02', '17 2027-03-03', '17 2027-04-02']);
  });
});

describe('[MODE-2] the coverage matrix and the catalogue', () => {
  // Trips something, but no component that is scored.
  const ELSEWHERE = ['door-release', 'enclosure-tamper', 'device-tamper', 'fire-outputs'];
  it('names only checks of the catalogue; every check that trips a device reveals something', () => {
    const revealing = new Set(COMPONENT_CLASSES.flatMap((cls) => FAILURE_MODES[cls].flatMap((mode) => mode.revealedBy)));
    const known = new Set(catalogue.map((check) => check.key));
    expect([...revealing].filter((check) => !known.has(check))).toEqual([]);
    const tripping = catalogue.filter((check) => check.activation && check.subject === 'device').map((check) => check.key);
    expect(tripping.filter((check) => !revealing.has(check) && !ELSEWHERE.includes(check))).toEqual([]);
    expect(tripping.length).toBeGreaterThan(8);
  });
});
