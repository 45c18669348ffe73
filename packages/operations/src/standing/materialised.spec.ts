import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { STANDING_SQL, windowsOfSites, type LaneWindow, type Prisma } from '@bellround/database';
import { aCompany, aDevice, anId, aSite, aSystem, cloneDatabase, day, EPOCH, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { proofsOf, type CreditableCheck, type Programme } from '@bellround/programmes';
import { addDays, standingOfDuty, timeline, type DutyHistory, type LocalDate } from '@bellround/recurrence';
import { createPerform, type Act, type BulkAct, type Perform, type Who } from '../perform.js';
import { renewStanding } from '../renew-standing.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { listStanding } from './list-standing.js';
import { windowShown } from './steps.js';

const SEED = 20270301;
const SITES = 24;
const LIGHT = 6;
const DUTIES = (SITES - LIGHT) * 6 + LIGHT * 2;
const FROM = '2025-01-15' as LocalDate;
const LAST = '2027-05-31' as LocalDate;
const clock = { now: new Date('2025-01-20T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
const companyId = anId();
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
const inside = <T>(act: Parameters<TestDatabase['database']['inCompany']>[1]) => test.database.inCompany({ companyId, actorId: null }, act) as Promise<T>;

// A small generator of our own (mulberry32, public domain algorithm) so that the seed alone makes the fleet.
let state = SEED;
const random = (): number => {
  state = (state + 0x6d2b79f5) | 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
};
const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;

const RULES: [string, string, object, object][] = [
  ['annual', 'visual-inspection', { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } }, {}],
  ['march', 'visual-inspection', { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, {}],
  ['quarter', 'mains-supply', { kind: 'once-per', period: 'quarter', minGapDays: 30 }, { basis: 'none' }],
  ['both', 'mains-supply', { kind: 'since-last', min: { months: 2 }, nominal: { months: 3 }, max: { months: 4 } }, { checkKinds: ['mains-supply', 'visual-inspection'], meets: 'all', completeWithinDays: 40 }],
  ['share', 'detector-actuation', { kind: 'share', period: 'half-year', numerator: 1, denominator: 2 }, { applies: { deviceKinds: ['motion'] } }],
  ['tested', 'supply-voltage', { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 8 } }, { credits: 'tested' }],
];
const systems: { siteId: string; systemId: string; devices: string[] }[] = [];

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  await inside((tx) => aCompany(tx, companyId));
  await inside(async (tx) => {
    for (let n = 0; n < SITES; n++) {
      const [siteId, systemId] = [anId(), anId()];
      await aSite(tx, companyId, { id: siteId, name: `Site ${n}`, timeZone: pick(['Europe/Madrid', 'Pacific/Auckland', 'America/Denver']) });
      await aSystem(tx, companyId, { id: systemId, siteId, installedOn: random() < 0.5 ? day('2024-11-01') : null });
      const devices = [anId(), anId(), anId()];
      for (const id of devices) await aDevice(tx, companyId, { id, systemId, kind: 'motion', installedOn: day('2024-11-01') });
      if (random() < 0.25) await tx.db.siteBlackout.create({ data: { companyId, id: anId(), siteId, kind: 'suspended', fromDay: day('2026-02-10'), toDay: random() < 0.7 ? day('2026-06-20') : null, reason: 'works', authority: 'owner', enteredAt: EPOCH } });
      if (random() < 0.25) await tx.db.siteBlackout.create({ data: { companyId, id: anId(), siteId, kind: 'closed', fromDay: day('2026-12-20'), toDay: day('2027-01-07'), reason: 'closed', authority: 'owner', enteredAt: EPOCH } });
      systems.push({ siteId, systemId, devices });
    }
  });
  const rules = RULES.map(([key, checkKind, cadence, over]) => ({ key, title: key, subject: 'system', applies: {}, cadence, basis: 'commissioning', checkKinds: [checkKind], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B',
    minutes: 5, skills: [], licences: [], by: 'technician', remotely: false, sounds: false, mandated: true, reminderStagesDays: [30], source: { clause: 'example', provenance: 'company rule' }, ...over }));
  // Most sites owe all six, the rest only two, so that some are wholly proven at times.
  for (const [key, some, siteIds] of [['mixed', rules, systems.slice(LIGHT)], ['light', [rules[0], rules[5]], systems.slice(0, LIGHT)]] as const) {
    const programmeId = anId();
    await perform(saveProgramme, who, { id: programmeId, basedOn: null, dryRun: false, body: { key, title: key, regime: { kind: 'company', name: 'Example', edition: '' }, systemKinds: ['intrusion'], caution: 'x', source: 'company rule', checkedOn: null, rules: some } });
    await perform.bulk(applyProgramme, who, { programmeId, systems: { siteIds: siteIds.map((one) => one.siteId) }, from: FROM, dryRun: false });
  }
});
afterAll(() => test.drop());

/** Two years of checks, in the order of their days: some fail, some are excused, some are corrected later. */
async function record(from: LocalDate, to: LocalDate): Promise<number> {
  const rows: (Prisma.CheckCreateManyInput & { id: string; correctsId: string | null })[] = [];
  for (let on = from; on <= to; on = addDays(on, 1)) {
    for (const { siteId, systemId, devices } of systems) {
      if (random() > 0.04) continue;
      const checkKind = pick(['visual-inspection', 'mains-supply', 'detector-actuation', 'supply-voltage']);
      const onDevice = checkKind === 'detector-actuation';
      const verdict = pick(['pass', 'pass', 'pass', 'marginal', 'fail', 'excused', 'not-done']);
      rows.push({ companyId, id: anId(), bodyDigest: 'x', siteId, systemId, subjectKind: onDevice ? 'device' : 'system', subjectId: onDevice ? pick(devices) : systemId, checkKind, performedOn: day(on),
        performedAt: new Date(`${on}T10:00:00Z`), recordedAt: new Date(`${on}T12:00:00Z`), verdict, excuseCode: verdict === 'excused' ? 'x' : null, reason: 'x', evidence: pick(['A', 'B', 'B', 'D']), source: pick(['field', 'field', 'import', 'remote']),
        correctsId: rows.length > 0 && random() < 0.06 ? pick(rows).id : null });
    }
  }
  for (const row of rows) if (row.correctsId !== null) Object.assign(row, (({ siteId, systemId, subjectKind, subjectId, checkKind }) => ({ siteId, systemId, subjectKind, subjectId, checkKind }))(rows.find((one) => one.id === row.correctsId)!));
  await inside((tx) => tx.db.check.createMany({ data: rows }));
  return rows.length;
}

/** Straight from the tables, without any of the operation's own reading: the histories of all duties. */
async function plainHistories(): Promise<{ siteId: string; dutyId: string; history: DutyHistory }[]> {
  return inside(async (tx) => {
    const duties = await tx.db.duty.findMany({ include: { application: { include: { programme: true } } } });
    const checks = await tx.db.check.findMany({ include: { corrections: true } });
    const devices = await tx.db.device.findMany();
    const blackouts = await tx.db.siteBlackout.findMany();
    const weekdays = new Map((await tx.db.site.findMany()).map((site) => [site.id, [...new Set((site.accessHours as { weekday: number }[]).map((hours) => hours.weekday))]]));
    const text = (date: Date | null) => (date === null ? null : date.toISOString().slice(0, 10) as LocalDate);
    return duties.map((duty) => {
      const rule = (duty.application.programme.body as unknown as Programme).rules.find((one) => one.key === duty.ruleKey)!;
      const units = rule.cadence.kind === 'share' ? devices.filter((device) => device.systemId === duty.systemId).map((device) => ({ key: device.id, from: text(device.installedOn)!, to: text(device.removedOn) })) : undefined;
      const own = checks.filter((check) => check.corrections.length === 0 && (units ? units.some((unit) => unit.key === check.subjectId) : check.subjectId === duty.subjectId))
        .map((check) => ({ id: check.id, kind: check.checkKind, subjectKind: check.subjectKind, subjectId: check.subjectId, verdict: check.verdict, evidence: check.evidence, performedOn: text(check.performedOn)!, source: check.source, licences: [] }) as unknown as CreditableCheck);
      const of = (kinds: string[]) => blackouts.filter((row) => row.siteId === duty.siteId && kinds.includes(row.kind));
      return { siteId: duty.siteId, dutyId: duty.id, history: {
        cadence: rule.cadence as DutyHistory['cadence'], from: text(duty.validFrom)!, to: text(duty.validTo), basisOn: text(duty.basisOn), proofs: proofsOf(rule, own), ...(units ? { units } : {}),
        pauses: of(['suspended']).map((row) => ({ from: text(row.fromDay)!, to: text(row.toDay), by: row.authority })),
        calendar: { closed: of(['closed', 'season']).map((row) => ({ from: text(row.fromDay)!, to: text(row.toDay)!, reason: row.reason })), ...(weekdays.get(duty.siteId)!.length > 0 ? { landOn: weekdays.get(duty.siteId)! } : {}) },
      } };
    });
  });
}
const WORST = ['lapsed', 'cant-tell', 'late', 'open', 'proven', 'not-owed'];

async function refreshAll(how: 'changed' | 'turned' | 'rebuild' = 'changed') {
  const { windowsWritten, creditsWritten, dutiesWritten, sites } = await renewStanding(perform, who, { how, sitesPerStretch: 7 });
  return { written: windowsWritten + creditsWritten + dutiesWritten, sites };
}

describe('materialised equals derived', () => {
  it(`for every site on every sampled day, whatever the cadence, correction or pause (seed ${SEED})`, async () => {
    clock.now = new Date(`${LAST}T12:00:00Z`);
    expect(await record('2025-01-16' as LocalDate, LAST)).toBeGreaterThan(400);
    expect((await refreshAll()).written).toBeGreaterThan(300);
    expect((await refreshAll()).written).toBe(0);
    expect((await refreshAll('rebuild')).written).toBe(0);
    const histories = await plainHistories();
    expect(histories.length).toBe(DUTIES);
    const seen = new Map<string, number>();
    for (let asOf = FROM; asOf <= LAST; asOf = addDays(asOf, 13)) {
      const shown = new Map((await perform(listStanding, who, { asOf, limit: 500, offset: 0, strips: 'no', broken: 'no' })).rows.map((row) => [row.siteId, row.standing]));
      for (const { siteId } of systems) {
        const standings = histories.filter((one) => one.siteId === siteId).map((one) => standingOfDuty(one.history, asOf));
        const worst = WORST.find((word) => standings.includes(word as never))!;
        seen.set(worst, (seen.get(worst) ?? 0) + 1);
        expect(`${asOf} ${siteId} ${shown.get(siteId)}`).toBe(`${asOf} ${siteId} ${worst}`);
      }
    }
    expect([...seen.keys()].sort()).toEqual([...WORST].sort()); // each standing was met, so none was compared with nothing
  }, 120_000);

  it('nights that look only at what the calendar turned end where recomputing everything does', async () => {
    for (const night of ['2027-06-01', '2027-07-01', '2027-07-02', '2027-10-01', '2028-02-01', '2028-04-01']) {
      clock.now = new Date(`${night}T12:00:00Z`);
      await refreshAll('turned');
      const kept = await inside<object[]>((tx) => tx.sql('select duty_id, n from duty_window'));
      expect(`${night} ${(await refreshAll('rebuild')).written}`).toBe(`${night} 0`);
      expect(kept.length).toBeGreaterThan(DUTIES);
    }
    expect((await refreshAll('turned')).sites).toBe(0);
  }, 120_000);

  it('holds exactly the windows of the engine, row by row', async () => {
    const stored = (await inside<LaneWindow[]>((tx) => windowsOfSites(tx, systems.map((one) => one.siteId), '0001-01-01', '9999-12-31', true))).sort((a, b) => (a.dutyId < b.dutyId ? -1 : a.dutyId > b.dutyId ? 1 : a.n - b.n))
      .map((window) => ({ dutyId: window.dutyId, ...windowShown(window), basisOn: window.basisOn }));
    const today = { 'Europe/Madrid': '2028-04-01', 'Pacific/Auckland': '2028-04-02', 'America/Denver': '2028-04-01' } as Record<string, string>;
    const zones = new Map((await inside<{ id: string; timeZone: string }[]>((tx) => tx.db.site.findMany({ select: { id: true, timeZone: true } }))).map((site) => [site.id, site.timeZone]));
    const derived = (await plainHistories()).sort((a, b) => (a.dutyId < b.dutyId ? -1 : 1)).flatMap(({ dutyId, siteId, history }) => timeline(history, today[zones.get(siteId)!] as LocalDate)
      .map((window) => ({ dutyId, ...windowShown(window), basisOn: window.basisOn })));
    expect(stored).toEqual(derived);
  });
});

describe('a run that is asked to stop', () => {
  it('ends after the stretches under way, keeps what they wrote, and a run begun again ends where one would have', async () => {
    await inside((tx) => tx.sql('delete from duty_timeline'));
    const stop = new AbortController();
    let begun = 0;
    const counting: Perform = Object.assign(<I, O>(act: Act<I, O>, asker: Who, input: I) => perform(act, asker, input), {
      bulk: async <I, O>(act: BulkAct<I, O>, asker: Who, input: I) => {
        begun += 1;
        const done = await perform.bulk(act, asker, input);
        stop.abort(new Error('enough'));
        return done;
      },
    });
    await expect(renewStanding(counting, who, { sitesPerStretch: 3, stop: stop.signal })).rejects.toThrow('enough');
    expect(begun).toBe(2);
    const [kept] = await inside<{ sites: number }[]>((tx) => tx.sql('select count(distinct site_id)::int as sites from duty_timeline'));
    expect(kept!.sites).toBe(6);
    expect((await refreshAll()).written).toBeGreaterThan(300);
    expect((await refreshAll('rebuild')).written).toBe(0);
  }, 120_000);
});

describe('the fleet question', () => {
  it('reads windows once, whatever the number of sites: no loop over the big tables', async () => {
    const plan = await inside<{ 'QUERY PLAN': string }[]>(async (tx) => {
      // A fleet's worth of rows for the planner to weigh, rolled back with the clone.
      await tx.sql(`insert into client (company_id, id, external_key, name, created_at) select $1::uuid, gen_random_uuid(), 'K' || n, 'K', now() from generate_series(1, 50) n`, [companyId]);
      await tx.sql(`insert into site (company_id, id, external_key, client_id, name, address, time_zone, occupancy, access_hours, created_at)
        select $1::uuid, gen_random_uuid(), 'F' || n, (select id from client where external_key = 'K' || (1 + n % 50)), 'F' || n, 'x', 'UTC', 'shop', '[]', now() from generate_series(1, 6000) n`, [companyId]);
      await tx.sql(`insert into system (company_id, id, external_key, site_id, kind, name, created_at) select $1::uuid, gen_random_uuid(), external_key, id, 'fire', 'F', now() from site where external_key like 'F%'`, [companyId]);
      await tx.sql(`insert into duty (company_id, id, application_id, site_id, system_id, subject_kind, subject_id, rule_key, title, regime, mandated, cadence, check_kinds, minutes, skills, licences, valid_from)
        select $1::uuid, gen_random_uuid(), (select id from programme_application limit 1), y.site_id, y.id, 'system', y.id, 'r' || k, 't', 'r', true, '{}', '{}', 1, '{}', '{}', '2024-01-01' from system y, generate_series(1, 3) k where y.external_key like 'F%'`, [companyId]);
      await tx.sql(`insert into duty_timeline (company_id, duty_id, site_id, n, opens, due, lapses, governs_from, carried, starts, packed)
        select $1::uuid, id, site_id, 8, '2026-03-11', '2026-04-30', '2026-06-09', '2026-03-11', 'proven', (select array_agg(day_number(date '2024-01-01' + k * 100) order by k) from generate_series(0, 8) k),
          (select array_agg(v.value order by k, v.at) from generate_series(0, 8) k cross join lateral unnest(array[day_number(date '2024-01-01' + k * 100), day_number(date '2024-01-01' + k * 100 + 50), day_number(date '2024-01-01' + k * 100 + 90),
            case when k < 8 then day_number(date '2024-01-01' + k * 100 + 99) else 2147483647 end, 2147483647, 2147483647, 0, 0]) with ordinality v(value, at))
        from duty where rule_key like 'r_'`, [companyId]);
      await tx.sql('select refresh_statistics()::text'); // as the sweep does after writing as much
      return tx.sql(`explain (analyze, timing off, summary off, buffers off) ${STANDING_SQL}`, ['2026-02-01', null, null, null, null, 100, 0, null, null, false]);
    });
    const lines = plan.map((row) => row['QUERY PLAN']);
    const scans = lines.filter((line) => /Scan .*on (duty_timeline|duty|site|client|system)\b/.test(line));
    expect(scans.length).toBeGreaterThan(2);
    const looped = scans.filter((line) => Number(/loops=(\d+)/.exec(line)?.[1] ?? 0) > 4); // parallel workers count as loops
    expect(looped).toEqual([]);
  }, 120_000);
});
