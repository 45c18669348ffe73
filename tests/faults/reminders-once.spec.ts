import { createHash } from 'node:crypto';
import type { ChildProcess } from 'node:child_process';
import { SMTPServer } from 'smtp-server';
import { afterAll, describe, expect, it } from 'vitest';
import { aClient, aCompany, anId, aSite, aSystem, aWindow, day } from '@bellround/database/testing';
import { createPerform, nightlySweep, type Who } from '@bellround/operations';
import { openHouse, until, type House } from '../house.js';
import { startRedis } from '../redis-server.js';

// A worker killed while it sends reminders: each reminder reaches the mail server, and none is written twice.
const SITES = 24;
const TODAY = '2027-03-01';
/** kills the worker at the nth message: before it is accepted, or right after */
const KILLS: ReadonlyMap<number, 'before' | 'after'> = new Map([[4, 'before'], [11, 'after'], [17, 'before']]);

const redis = await startRedis();
const backends: { backend: string; env: Record<string, string> }[] = [{ backend: 'Postgres', env: {} }, ...(redis ? [{ backend: 'Redis', env: { REDIS_URL: redis.url } }] : [])];
afterAll(async () => { await redis?.stop(); });

/** A real mail server that keeps what it accepted, by Message-ID, and kills the worker at the chosen messages. */
async function mailServer(kill: () => void) {
  const accepted: string[] = [];
  let [heard, killed] = [0, 0];
  const server = new SMTPServer({
    authOptional: true, disabledCommands: ['STARTTLS', 'AUTH'], logger: false,
    onData: (stream, _session, done) => {
      let text = '';
      stream.on('data', (chunk: Buffer) => { text += chunk.toString(); });
      stream.on('end', () => {
        heard += 1;
        const when = KILLS.get(heard);
        if (when) killed += 1;
        if (when === 'before') { kill(); done(new Error('451 the line broke')); return; }
        accepted.push(/^Message-ID: (.+)$/im.exec(text)?.[1]?.trim() ?? 'none');
        done();
        if (when === 'after') kill();
      });
    },
  });
  server.on('error', () => undefined); // a killed client breaks its connection
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  return { url: `smtp://127.0.0.1:${(server.server.address() as { port: number }).port}`, accepted, killed: () => killed, stop: () => new Promise<void>((resolve) => server.close(() => resolve())) };
}

/** A company whose sites each owe one duty that lapses in a week. */
async function fill(house: House, companyId: string): Promise<void> {
  await house.test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    const programme = await tx.db.programme.create({ data: { companyId, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: new Date(0) } });
    for (let i = 0; i < SITES; i++) {
      const client = await aClient(tx, companyId, { externalKey: `C-${i}`, email: `client${i}@quillmere.example` });
      const site = await aSite(tx, companyId, { externalKey: `S-${i}`, name: `Site ${i}`, clientId: client.id });
      const system = await aSystem(tx, companyId, { externalKey: `Y-${i}`, siteId: site.id });
      const application = await tx.db.programmeApplication.create({ data: { companyId, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: new Date(0) } });
      const duty = await tx.db.duty.create({ data: { companyId, id: anId(), applicationId: application.id, siteId: site.id, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: 'annual', title: 'Annual', regime: 'company', mandated: true, cadence: {}, checkKinds: ['set-unset'], minutes: 30, skills: [], licences: [], validFrom: day('2026-01-01') } });
      await aWindow(tx, { dutyId: duty.id, siteId: site.id, opens: '2027-02-01', due: '2027-03-05', lapses: '2027-03-08', governsFrom: '2026-01-01' });
    }
  });
}

describe.each(backends)('reminders with queues on $backend, whatever is killed', ({ env }) => {
  it('two sweeps at once write each once; a worker killed before and after acceptance leaves none out', async () => {
    const companyId = anId();
    const who: Who = { companyId, userId: null, name: 'the house', role: 'house', technicianId: null };
    let worker: ChildProcess | null = null;
    const mail = await mailServer(() => worker?.kill('SIGKILL'));
    const house = await openHouse();
    try {
      await fill(house, companyId);
      const perform = createPerform(house.test.database, { now: () => new Date(`${TODAY}T01:15:00Z`), newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
      const [one, two] = await Promise.all([perform(nightlySweep, who, { day: TODAY }), perform(nightlySweep, who, { day: TODAY })]);
      expect(one).toEqual(two);
      expect(one.reminders).toBe(SITES);
      const count = (state?: string) => house.test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.message.count({ where: state ? { state } : {} }));
      expect(await count()).toBe(SITES);

      const start = async () => { worker = await house.startWorker({ ...env, SMTP_URL: mail.url, MAIL_LEASE_S: '1' }); };
      await start();
      await until('every reminder to be sent', async () => {
        if (worker && (worker.signalCode !== null || worker.exitCode !== null)) await start();
        return (await count('sent')) === SITES;
      }, 60_000);
      expect(mail.killed()).toBe(KILLS.size);
      const times = new Map<string, number>();
      for (const id of mail.accepted) times.set(id, (times.get(id) ?? 0) + 1);
      expect(times.size).toBe(SITES);
      // only the one whose worker died between acceptance and mark may have come twice, under the same Message-ID
      expect([...times.values()].filter((n) => n > 1).length).toBeLessThanOrEqual(1);
      expect(Math.max(...times.values())).toBeLessThanOrEqual(2);
    } finally {
      await house.close();
      await mail.stop();
    }
  }, 120_000);
});
