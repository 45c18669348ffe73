// A large visit's round trip: a station's history taken, laid beside the steps, recorded; on an embedded Postgres of its own.
//   node packages/operations/bench/round-trip.mjs [--steps 400] [--events 5000]
// Needs the packages built (`npx -y pnpm@12.4.2 exec turbo run build`). Invented from a counter: one step in 40 is silent, one in 50 reads a
// wrong text, the rest are right within 3 s on a phone 37 s slow; the other events are daily business. Prints one JSON line per act.
import { randomUUID } from 'node:crypto';
import { cpus, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { nodeTools } from '../../database/dist/index.js';
import { createPerform, openHold, openVisit, recordChecks, recordRoundTrip, showRoundTrip, takeStationEvents } from '../dist/index.js';
import { openBenchHouse } from './bench-house.mjs';

const { values } = parseArgs({ options: { steps: { type: 'string', default: '400' }, events: { type: 'string', default: '5000' } } });
const [STEPS, EVENTS] = [Number(values.steps), Number(values.events)];
const START = Date.parse('2027-03-01T07:00:00Z');
const clock = { now: new Date(START) };
const house = await openBenchHouse({ name: 'round-trip', port: 56_520 });
try {
  const database = house.open(4);
  const perform = createPerform(database, { now: () => clock.now, newId: nodeTools.newId, sha256: nodeTools.sha256, seed: () => 1 });
  process.stderr.write(`${cpus().length} x ${cpus()[0].model}, Node ${process.version}\n`);
  const world = await aWorld(database);
  const timed = async (act, work) => { const begun = performance.now(); const answer = await work(); console.log(JSON.stringify({ act, steps: STEPS, events: EVENTS, ms: Math.round(performance.now() - begun), load: Number(loadavg()[0].toFixed(1)) })); return answer; };
  await perform(openVisit, world.tess, { visitId: world.visitId, id: randomUUID() });
  await perform(openHold, world.tess, { visitId: world.visitId, id: randomUUID(), accountId: world.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: new Date(START + 10 * 3_600_000).toISOString() });
  clock.now = new Date(START + STEPS * 60_000 + 600_000);
  const at = (n) => START + n * 60_000 + 30_000;
  const checks = world.devices.map((id, n) => ({ id: randomUUID(), checkKind: 'detector-actuation', subjectKind: 'device', subjectId: id, readings: { seenAtPanel: true, rightZone: true, rightText: true }, instrumentId: null, outcome: 'judged', overrule: null, excuseCode: null, reason: null, notes: null, alsoOut: [], phoneVerdict: null, deviceClockAt: new Date(at(n) - 37_000).toISOString(), deviceClockNow: new Date(clock.now.getTime() - 37_000).toISOString() }));
  await timed('record checks', async () => { for (let from = 0; from < checks.length; from += 200) await perform(recordChecks, world.tess, { visitId: world.visitId, checks: checks.slice(from, from + 200) }); });
  const rows = world.devices.flatMap((_, n) => (n % 40 === 7 ? [] : [`9001,${new Date(at(n) + (n % 4) * 1000).toISOString()},BA,${n + 1},${n % 50 === 9 ? 'somewhere else' : `room ${n + 1}`}`]));
  while (rows.length < EVENTS) rows.push(`9001,${new Date(START + (rows.length * 4_813) % (STEPS * 60_000)).toISOString()},RP,,${rows.length}`);
  const csv = { text: `Account,Received,Code,Zone,Text\n${rows.join('\n')}\n`, keepMapping: true, mapping: { account: 'Account', receivedAt: 'Received', code: 'Code', zone: 'Zone', text: 'Text', dateForm: 'iso', timeZone: 'UTC' } };
  const taken = await timed('take history', () => perform(takeStationEvents, world.tess, { visitId: world.visitId, csv, events: [] }));
  await timed('take it again', () => perform(takeStationEvents, world.tess, { visitId: world.visitId, csv, events: [] }));
  const shown = await timed('show round trip', () => perform(showRoundTrip, world.tess, { visitId: world.visitId }));
  const recorded = await timed('record round trip', () => perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: randomUUID() }));
  const counts = {};
  for (const step of shown.steps) counts[step.verdict] = (counts[step.verdict] ?? 0) + 1;
  console.log(JSON.stringify({ taken: taken.taken, offsetS: shown.offsetS, counts, unexplained: shown.unexplained.length, raised: recorded.raised.length }));
  await database.close();
} finally {
  await house.discard();
}

async function aWorld(database) {
  const companyId = randomUUID();
  const ids = Object.fromEntries(['clientId', 'siteId', 'systemId', 'stationId', 'accountId', 'technicianId', 'userId', 'visitId'].map((name) => [name, randomUUID()]));
  const devices = Array.from({ length: STEPS }, () => randomUUID());
  const zones = devices.map(() => randomUUID());
  await database.inCompany({ companyId, actorId: null }, async ({ db }) => {
    const createdAt = clock.now;
    await db.company.create({ data: { id: companyId, slug: 'bench', name: 'Bench', timeZone: 'UTC', createdAt } });
    await db.client.create({ data: { companyId, id: ids.clientId, externalKey: 'C-1', name: 'Client', createdAt } });
    await db.site.create({ data: { companyId, id: ids.siteId, externalKey: 'S-1', clientId: ids.clientId, name: 'Site', address: '1 Mill Lane', timeZone: 'UTC', occupancy: 'shop', accessHours: [], createdAt } });
    await db.station.create({ data: { companyId, id: ids.stationId, externalKey: 'W-1', name: 'Stonepier Watch Room' } });
    await db.account.create({ data: { companyId, id: ids.accountId, stationId: ids.stationId, siteId: ids.siteId, number: '9001', status: 'live', createdAt } });
    await db.system.create({ data: { companyId, id: ids.systemId, externalKey: 'Y-1', siteId: ids.siteId, accountId: ids.accountId, kind: 'intrusion', name: 'Intrusion', createdAt } });
    await db.zone.createMany({ data: zones.map((id, n) => ({ companyId, id, systemId: ids.systemId, number: n + 1, textOurs: `room ${n + 1}` })) });
    await db.device.createMany({ data: devices.map((id, n) => ({ companyId, id, externalKey: `D-${n}`, systemId: ids.systemId, zoneId: zones[n], kind: 'contact', link: 'wired', label: `Contact ${n + 1}`, createdAt })) });
    await db.technician.create({ data: { companyId, id: ids.technicianId, externalKey: 'T-1', name: 'Tess', timeZone: 'UTC', shifts: [], skills: [], createdAt } });
    await db.user.create({ data: { companyId, id: ids.userId, email: 'tess@bench.example', name: 'Tess', role: 'technician', passwordHash: 'x', technicianId: ids.technicianId, createdAt } });
    await db.visit.create({ data: { companyId, id: ids.visitId, siteId: ids.siteId, kind: 'urgent', state: 'published', title: 'Round trip', serviceMin: 480, createdAt } });
  });
  return { ...ids, devices, tess: { companyId, userId: ids.userId, role: 'technician', name: 'Tess', technicianId: ids.technicianId } };
}
