import { createHash } from 'node:crypto';
import type { ChildProcess } from 'node:child_process';
import { SMTPServer } from 'smtp-server';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aClient, aCompany, anId, aSite, aSystem, day } from '@bellround/database/testing';
import { createPerform, nightlySweep, type Perform, type Who } from '@bellround/operations';
import { openHouse, until, type House } from '../house.js';

// A worker killed while it sends reminders: each reminder reaches the mail server, and none is written twice.
const A = anId();
const SITES = 24;
const TODAY = '2027-03-01';
const house_: Who = { companyId: A, userId: null, name: 'the house', role: 'house', technicianId: null };
let house: House;
let perform: Perform;
let server: SMTPServer;
let port = 0;
const accepted: string[] = [];
let worker: ChildProcess | null = null;
/** kills the worker at the nth message: before it is accepted, or right after */
const kills = new Map<number, 'before' | 'after'>([[4, 'before'], [11, 'after'], [17, 'before']]);
let heard = 0;
let killed = 0;

beforeAll(async () => {
  server = new SMTPServer({
    authOptional: true, disabledCommands: ['STARTTLS', 'AUTH'], logger: false,
    onData: (stream, _session, done) => {
      let text = '';
      stream.on('data', (chunk: Buffer) => { text += chunk.toString(); });
      stream.on('end', () => {
        heard += 1;
        const id = /^Message-ID: (.+)$/im.exec(text)?.[1]?.trim() ?? 'none';
        const when = kills.get(heard);
        if (when === 'before') { killed += 1; worker?.kill('SIGKILL'); done(new Error('451 the line broke')); return; }
        accepted.push(id);
        done();
        if (when === 'after') { killed += 1; worker?.kill('SIGKILL'); }
      });
    },
  });
  server.on('error', () => undefined); // a killed client breaks its connection
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  port = (server.server.address() as { port: number }).port;
  house = await openHouse();
  perform = createPerform(house.test.database, { now: () => new Date(`${TODAY}T01:15:00Z`), newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
  await house.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    const programme = await tx.db.programme.create({ data: { companyId: A, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: new Date(0) } });
    for (let i = 0; i < SITES; i++) {
      const client = await aClient(tx, A, { externalKey: `C-${i}`, email: `client${i}@quillmere.example` });
      const site = await aSite(tx, A, { externalKey: `S-${i}`, name: `Site ${i}`, clientId: client.id });
      const system = await aSystem(tx, A, { externalKey: `Y-${i}`, siteId: site.id });
      const application = await tx.db.programmeApplication.create({ data: { companyId: A, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: new Date(0) } });
      const duty = await tx.db.duty.create({ data: { companyId: A, id: anId(), applicationId: application.id, siteId: site.id, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: 'annual', title: 'Annual', regime: 'company', mandated: true, cadence: {}, checkKinds: ['set-unset'], minutes: 30, skills: [], licences: [], validFrom: day('2026-01-01') } });
      await tx.db.dutyWindow.create({ data: { companyId: A, dutyId: duty.id, n: 0, siteId: site.id, opens: day('2027-02-01'), due: day('2027-03-05'), lapses: day('2027-03-08'), governsFrom: day('2026-01-01'), carried: 'proven', why: 'annual' } });
    }
  });
}, 120_000);
afterAll(async () => { await house?.close(); await new Promise<void>((resolve) => server.close(() => resolve())); });

describe('reminders, whatever is killed', () => {
  it('two sweeps of one night at once write each reminder once', async () => {
    const [one, two] = await Promise.all([perform(nightlySweep, house_, { day: TODAY }), perform(nightlySweep, house_, { day: TODAY })]);
    expect(one).toEqual(two);
    expect(one.reminders).toBe(SITES);
    const counted = await house.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => [await tx.db.reminder.count(), await tx.db.message.count()]);
    expect(counted).toEqual([SITES, SITES]);
  });

  it('a worker killed before and after acceptance, and started again, leaves none out', async () => {
    const start = async () => {
      worker = await house.startWorker({ SMTP_URL: `smtp://127.0.0.1:${port}`, MAIL_LEASE_S: '1' });
    };
    await start();
    await until('every reminder to be sent', async () => {
      if (worker && (worker.signalCode !== null || worker.exitCode !== null)) await start();
      return house.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => (await tx.db.message.count({ where: { state: 'sent' } })) === SITES);
    }, 90_000);
    expect(killed).toBe(3);
    const times = new Map<string, number>();
    for (const id of accepted) times.set(id, (times.get(id) ?? 0) + 1);
    expect(times.size).toBe(SITES);
    // only the one whose worker died between acceptance and mark may have come twice, under the same Message-ID
    expect([...times.values()].filter((count) => count > 1).length).toBeLessThanOrEqual(1);
    expect(Math.max(...times.values())).toBeLessThanOrEqual(2);
  }, 120_000);
});
