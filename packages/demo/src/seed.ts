import { createHash } from 'node:crypto';
import { hash } from '@node-rs/argon2';
import { nodeTools, uuid7, type Database, type Tx } from '@bellround/database';
import { applyProgramme, compareLists, computeHere, createPerform, fitCompany, loadWeekProblem, madeOf, problemToSolve, publishPlan, renewStanding, saveWeekPlan, scoreWholeCompany, startPlan, wantVisits, type Perform, type Who } from '@bellround/operations';
import { checkDefinition } from '@bellround/programmes';
import { solve } from '@bellround/planning';
import { addDays, instantAt, localDate, localDateAt, weekdayOf } from '@bellround/recurrence';
import { demoInstruments } from './instruments.js';
import { demoCompanies, DEMO_SEED, historyBegins, type DemoCompany } from './demo-company.js';
import { SUPPLY_RATED_MV, type DemoCheck } from './history.js';
import { makeSignals, type DemoSignals } from './signals.js';

const AT_ONCE = 4000;
/** Steps of search for the demo's published week: a fixed count, so that it takes the same everywhere. */
/** Places where dust, damp, cold or heat are usual. */
const HARSH = new Set(['industrial', 'warehouse', 'holiday-home']);
const SEARCH_STEPS = 3000;
const ARGON = { memoryCost: 19_456, timeCost: 2, parallelism: 1 };

const day = (text: string): Date => new Date(`${text}T00:00:00Z`);
const dayOrNull = (text: string | null): Date | null => (text === null ? null : day(text));

/** Writes both invented companies, then lets the product's own acts derive everything that is derived. */
export async function seedDemo(database: Database, options: { now: Date; onProgress?: (line: string) => void; seed?: number; planWeek?: boolean }): Promise<void> {
  const tell = options.onProgress ?? (() => undefined);
  const today = localDateAt(options.now.toISOString(), 'Europe/Madrid');
  for (const company of demoCompanies(options.seed ?? DEMO_SEED, today)) {
    tell(`${company.name}: ${company.sites.length} sites, ${company.history.checks.length} checks of three years`);
    await database.inCompany({ companyId: company.id, actorId: null }, (tx) => writeCompany(tx, company, today, options.now), { timeoutMs: 300_000 });
    const perform = createPerform(database, { ...nodeTools, now: () => options.now, newId: () => uuid7(options.now.getTime()), seed: () => 7 }, { timeoutMs: 300_000 });
    const house: Who = { companyId: company.id, userId: null, name: 'the house', role: 'house', technicianId: null };
    tell(`${company.name}: duties, windows and exposure`);
    await derive(perform, house, company, today, tell);
    tell('  rounds of the running week');
    if (options.planWeek !== false) await planThisWeek(perform, house, today);
  }
}

async function derive(perform: Perform, house: Who, company: DemoCompany, today: string, tell: (line: string) => void): Promise<void> {
  for (const kind of ['intrusion', 'fire', 'co'] as const) {
    const known = company.sites.filter((site) => !site.inherited).map((site) => site.id);
    await perform.bulk(applyProgramme, house, { programmeId: programmeId(company, kind), systems: { kinds: [kind], siteIds: known }, from: historyBegins(today), dryRun: false });
    // sites taken over without records owe from the day they were taken over, and begin as can't tell
    for (const site of company.sites.filter((one) => one.inherited && one.systems.some((system) => system.kind === kind))) {
      await perform.bulk(applyProgramme, house, { programmeId: programmeId(company, kind), systems: { kinds: [kind], siteIds: [site.id] }, from: site.takenOverOn ?? today, dryRun: false });
    }
  }
  tell('  windows and credits');
  await renewStanding(perform, house);
  tell('  failure rates and exposure');
  await fitCompany(perform, house);
  await scoreWholeCompany(perform, house);
  await perform(compareLists, house, {});
}

/** The running week is planned and published, at a weekend the one that begins on Monday, so that technicians have rounds; the next one is the dispatcher's to plan. */
async function planThisWeek(perform: Perform, house: Who, today: string): Promise<void> {
  const weekday = weekdayOf(localDate(today));
  const monday = addDays(localDate(today), (weekday > 5 ? 8 : 1) - weekday);
  const planId = uuid7();
  await perform(startPlan, house, { weekStart: monday, planId, seconds: 1, seed: 7, inline: true });
  await perform(wantVisits, house, { planId });
  const week = await perform(loadWeekProblem, house, { planId });
  const { problem, told } = problemToSolve(week);
  const plan = solve(problem, { seed: 7, stop: { iterations: SEARCH_STEPS } });
  const head = await perform(saveWeekPlan, house, { planId, ...madeOf(problem, plan, week.parts), unplannable: week.unplannable, told });
  await publishPlan({ perform, compute: computeHere }, house, { planId, revision: head.revision });
}

const programmeId = (company: DemoCompany, kind: string): string => stableId(`${company.id} programme ${kind}`);

/** An id that depends on its words only. */
function stableId(words: string): string {
  const hex = createHash('sha256').update(words).digest('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-a${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}

/** Many rows in one statement; keys are column names. Ten times as fast as one parameter per value. */
async function insertRows(tx: Tx, table: 'check_record' | 'reading' | 'station_event', rows: object[]): Promise<void> {
  await tx.sql(`insert into ${table} select r.* from jsonb_populate_recordset(null::${table}, $1::jsonb) as r`, [JSON.stringify(rows)]);
}

async function inBatches<T>(rows: T[], write: (batch: T[]) => Promise<unknown>): Promise<void> {
  for (let at = 0; at < rows.length; at += AT_ONCE) await write(rows.slice(at, at + AT_ONCE));
}

async function writeCompany(tx: Tx, company: DemoCompany, today: string, now: Date): Promise<void> {
  const own = { companyId: company.id };
  const made = { ...own, createdAt: now };
  await tx.db.company.create({ data: { id: company.id, slug: company.slug, name: company.name, timeZone: company.timeZone, settings: { supplyRatedMv: SUPPLY_RATED_MV }, createdAt: now } });
  await writePeople(tx, company, today, now);
  await tx.db.station.create({ data: { ...own, id: company.stationId, externalKey: 'W-1', name: company.stationName, phone: '000 700 7000' } });
  await tx.db.client.createMany({ data: company.clients.map((client) => ({ ...made, ...client, billingRef: null })) });
  await tx.db.site.createMany({ data: company.sites.map((site) => ({
    ...made, id: site.id, externalKey: site.externalKey, clientId: site.clientId, name: site.name, address: site.address, locality: site.locality, lat: site.lat, lon: site.lon, timeZone: company.timeZone,
    // nobody recorded what parts live in at sites that were taken over
    occupancy: site.occupancy, environment: site.inherited ? null : HARSH.has(site.occupancy) ? 'harsh' : 'mild', sleepingRisk: site.sleepingRisk, accessHours: site.accessHours, ...(site.noiseHours ? { noiseHours: site.noiseHours } : {}), accessNotes: site.accessNotes, takenOverOn: dayOrNull(site.takenOverOn) })) });
  await tx.db.contact.createMany({ data: company.sites.map((site) => ({ ...own, id: site.contact.id, siteId: site.id, name: site.contact.name, roles: ['permits-entry', 'is-told'], email: site.contact.email, phone: site.contact.phone, validFrom: day(site.takenOverOn ?? today) })) });
  await tx.db.account.createMany({ data: company.sites.map((site) => ({ ...made, id: site.accountId, stationId: company.stationId, siteId: site.id, number: site.accountNumber, status: 'live', validFrom: dayOrNull(site.takenOverOn) })) });
  const signals = makeSignals(company.sites, localDate(today), company.timeZone);
  await writeFleet(tx, company, signals.receivers, today, now);
  await tx.db.programme.createMany({ data: Object.entries(company.programmes).map(([kind, body]) => ({ ...made, id: programmeId(company, kind), key: body.key, version: body.version, title: body.title, body: body as object })) });
  await writeHistory(tx, company, now);
  await writeSignals(tx, company, signals, now);
  await writeLists(tx, company, today, now);
}

async function writePeople(tx: Tx, company: DemoCompany, today: string, now: Date): Promise<void> {
  const own = { companyId: company.id };
  const shifts = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '16:30', breakMin: 30 }));
  await tx.db.technician.createMany({ data: company.technicians.map((one) => ({ ...own, id: one.id, externalKey: one.externalKey, name: one.name, email: one.email, homeLat: one.lat, homeLon: one.lon, timeZone: company.timeZone, shifts, skills: one.skills, pairOnly: one.pairOnly, maxOvertimeMin: 45, createdAt: now })) });
  await tx.db.licence.createMany({ data: company.technicians.filter((one) => one.licenceTo !== null).map((one) => ({ ...own, id: stableId(`${one.id} licence`), technicianId: one.id, kind: 'fire-alarm', number: `FA-${one.externalKey}`, validFrom: day('2024-01-01'), validTo: day(one.licenceTo!) })) });
  await tx.db.instrument.createMany({ data: demoInstruments(today).map((one) => ({ ...own, id: stableId(`${company.id} ${one.serial}`), kind: one.kind, serial: one.serial, calibratedFrom: dayOrNull(one.calibratedFrom), calibratedTo: dayOrNull(one.calibratedTo) })) });
  const users = await Promise.all(company.users.map(async (user) => ({
    ...own, id: user.id, email: user.email, name: user.name, role: user.role, passwordHash: await hash(user.password, ARGON), createdAt: now,
    technicianId: company.technicians.find((one) => one.externalKey === user.technicianKey)?.id ?? null })));
  await tx.db.user.createMany({ data: users });
}

async function writeFleet(tx: Tx, company: DemoCompany, receivers: DemoSignals['receivers'], today: string, now: Date): Promise<void> {
  const made = { companyId: company.id, createdAt: now };
  const systems = company.sites.flatMap((site) => site.systems.map((system) => ({ site, system })));
  await tx.db.system.createMany({ data: systems.map(({ site, system }) => ({
    ...made, id: system.id, externalKey: system.externalKey, siteId: site.id, accountId: site.accountId, kind: system.kind, name: system.name, grade: system.grade, controlUnit: 'Control unit', installedOn: dayOrNull(system.installedOn),
    standbyMa: system.standbyMa, alarmMa: system.alarmMa, standbyHours: system.standbyHours, alarmMin: system.alarmMin })) });
  const seen = (site: { takenOverOn: string | null }) => day(site.takenOverOn ?? today);
  const known = (madeOn: string | null) => (madeOn === null ? 'absent' : 'known');
  await inBatches(systems.flatMap(({ site, system }) => system.devices.map((device) => ({
    ...made, id: device.id, externalKey: device.externalKey, systemId: system.id, kind: device.kind, link: device.link, label: device.label, room: device.room, serial: device.serial, madeOn: dayOrNull(device.madeOn), madeOnState: known(device.madeOn), installedOn: dayOrNull(device.installedOn), firstSeenOn: seen(site) }))), (data) => tx.db.device.createMany({ data }));
  const batteries = systems.flatMap(({ site, system }) => system.batteries.map((battery) => ({
    ...made, id: battery.id, externalKey: battery.externalKey, systemId: system.id, label: battery.label, chemistry: 'lead-acid-sealed', ratedMah: battery.ratedMah, madeOn: dayOrNull(battery.madeOn), madeOnState: known(battery.madeOn),
    fittedOn: dayOrNull(battery.fittedOn), firstSeenOn: battery.fittedOn === null ? seen(site) : day(battery.fittedOn), temperatureC: battery.temperatureC, removedOn: dayOrNull(battery.removedOn), replacedById: battery.replacedById })));
  // a battery points at its successor, so the successors are written first
  await tx.db.battery.createMany({ data: batteries.reverse() });
  await tx.db.path.createMany({ data: systems.flatMap(({ system }) => system.paths.map((path) => ({
    ...made, id: path.id, externalKey: path.externalKey, systemId: system.id, rank: path.rank, technology: path.technology, label: path.label, category: path.category, supervisionS: path.supervisionS, testIntervalMin: 1440, receiverAddress: receivers.get(path.id) ?? null, installedOn: dayOrNull(path.installedOn) }))) });
}

async function writeHistory(tx: Tx, company: DemoCompany, now: Date): Promise<void> {
  const own = { companyId: company.id };
  const at = (on: string, minute: number) => new Date(instantAt(`${on}T${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}:00`, company.timeZone));
  const by = company.users[0]!.id;
  // a visit lasts as long as its checks did, and a while before and after
  const lasted = new Map<string, { first: number; last: number }>();
  for (const { visitId, minute } of company.history.checks) { const seen = lasted.get(visitId); lasted.set(visitId, { first: Math.min(seen?.first ?? minute, minute), last: Math.max(seen?.last ?? minute, minute) }); }
  await inBatches(company.history.visits, (batch) => tx.db.visit.createMany({ data: batch.map((visit) => ({
    ...own, id: visit.id, siteId: visit.siteId, kind: visit.kind, state: 'closed', title: visit.title, serviceMin: visit.serviceMin, day: day(visit.day), startMin: 540, technicianId: visit.technicianId, createdAt: at(visit.day, 480), openedAt: at(visit.day, (lasted.get(visit.id)?.first ?? 540) - 18), closedAt: at(visit.day, (lasted.get(visit.id)?.last ?? 560) + 9) })) }));
  await inBatches(company.history.checks, (batch) => insertRows(tx, 'check_record', batch.map((check) => checkRow(company.id, check, at(check.day, check.minute), by))));
  await inBatches(company.history.checks.flatMap(readingRows(company.id)), (rows) => insertRows(tx, 'reading', rows));
  const { deficiencies } = company.history;
  await tx.db.deficiency.createMany({ data: deficiencies.map((one) => ({
    ...own, id: one.id, siteId: one.siteId, systemId: one.systemId, subjectKind: one.subjectKind, subjectId: one.subjectId, checkKind: one.checkKind, severity: one.severity, title: one.title, state: one.closedBy ? 'closed' : 'open',
    raisedAt: at(one.raisedOn, 720), raisedByCheckId: one.raisedBy, dueOn: day(one.dueOn), closedAt: one.closedOn === null ? null : at(one.closedOn, 900), closedByCheckId: one.closedBy })) });
  await tx.db.deficiencyFact.createMany({ data: deficiencies.flatMap((one) => [
    { ...own, id: stableId(`${one.id} raised`), deficiencyId: one.id, kind: 'raised', at: at(one.raisedOn, 720), recordedAt: at(one.raisedOn, 720), checkId: one.raisedBy, words: one.words, detail: { severity: one.severity } },
    ...(one.closedBy === null || one.closedOn === null ? [] : [{ ...own, id: stableId(`${one.id} closed`), deficiencyId: one.id, kind: 'retest-passed', at: at(one.closedOn, 900), recordedAt: at(one.closedOn, 900), checkId: one.closedBy, words: one.closeWords ?? '', detail: {} }]),
  ]) });
  await tx.db.attempt.createMany({ data: company.attempts.map((one) => ({ ...own, id: one.id, bodyDigest: one.id, siteId: one.siteId, how: 'at-door', outcome: 'no-answer', at: at(one.day, one.minute), recordedAt: at(one.day, one.minute), byId: by, words: one.words, preventableBy: 'customer' })) });
  await tx.db.activity.create({ data: { ...own, id: stableId(`${company.id} built`), at: now, actorName: 'the house', act: 'build-demo', subjectKind: 'everything', summary: `The invented company ${company.name} was built` } });
}

/** What the station heard at night, until now: without it no silence could be told. */
async function writeSignals(tx: Tx, company: DemoCompany, { signals }: DemoSignals, now: Date): Promise<void> {
  const rows = signals.filter((signal) => Date.parse(signal.receivedAt) <= now.getTime()).map((signal) => {
    const raw = `${signal.accountNumber} 602 ${signal.path} ${signal.receivedAt}`;
    return {
      company_id: company.id, id: stableId(raw), station_id: company.stationId, account_number: signal.accountNumber, account_id: signal.accountId, received_at: signal.receivedAt, code: '602', zone: null, text: null, path: signal.path,
      kind: 'periodic', qualifier: 'new', raw, raw_digest: stableId(raw), source: 'csv', recorded_at: now,
    };
  });
  await inBatches(rows, (batch) => insertRows(tx, 'station_event', batch));
}

function checkRow(companyId: string, check: DemoCheck, at: Date, by: string): object {
  const { judgement } = check;
  return {
    company_id: companyId, id: check.id, body_digest: check.id, visit_id: check.visitId, site_id: check.siteId, system_id: check.systemId, subject_kind: check.subjectKind, subject_id: check.subjectId, check_kind: check.checkKind,
    performed_on: check.day, performed_at: at, recorded_at: at, technician_id: check.technicianId, recorded_by: by, verdict: judgement.verdict === 'not-enough-data' ? 'not-done' : judgement.verdict, computed_verdict: judgement.verdict,
    reason: judgement.reason, margin_value: judgement.margin?.value ?? null, margin_unit: judgement.margin?.unit ?? null, limit_source: judgement.limitSource, evidence: judgement.evidence, source: 'field', judgement: {},
  };
}

const readingRows = (companyId: string) => (check: DemoCheck): object[] => {
  const units = new Map(checkDefinition(check.checkKind)?.readings.map((reading) => [reading.key, reading.unit ?? null]) ?? []);
  return Object.entries(check.readings).map(([key, value]) => ({
    company_id: companyId, check_id: check.id, key, unit: units.get(key) ?? null, number: typeof value === 'number' ? value : null, flag: typeof value === 'boolean' ? value : null, text: typeof value === 'string' ? value : null }));
};

async function writeLists(tx: Tx, company: DemoCompany, today: string, now: Date): Promise<void> {
  const own = { companyId: company.id };
  const listedOn = day(addDays(localDate(today), -2));
  for (const [kind, rows] of [['station', company.stationList], ['invoice', company.invoiceList]] as const) {
    const listId = stableId(`${company.id} list ${kind}`);
    await tx.db.listImport.create({ data: { ...own, id: listId, kind, stationId: kind === 'station' ? company.stationId : null, listedOn, fileName: `${kind}-list.csv`, digest: listId, importedAt: now, importedBy: company.users[0]!.id } });
    await tx.db.listEntry.createMany({ data: rows.map((row, index) => ({ ...own, listId, row: index + 1, accountNumber: row.number, name: row.name })) });
  }
}
