import { createHash } from 'node:crypto';
import { IMPORT_KIND_NAMES, LIST_KINDS, sampleFleetCsv, type ImportKind, type ImportRunDetail } from '@bellround/contracts';
import { aCompany, anId, aUser, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { importFile } from './import-file.js';
import { showFirstRun } from './show-first-run.js';

let test: TestDatabase;
let perform: Perform;
let who: Who;

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => new Date('2027-03-01T09:00:00Z'), newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
  const companyId = anId();
  const userId = await test.database.inCompany({ companyId, actorId: null }, async (tx) => { await aCompany(tx, companyId); return (await aUser(tx, companyId, { role: 'owner' })).id; });
  who = { companyId, userId, name: 'Olive', role: 'owner', technicianId: null };
});
afterAll(() => test.drop());

async function take(kind: ImportKind): Promise<ImportRunDetail> {
  const more = LIST_KINDS.includes(kind) ? { listedOn: '2027-03-01', ...(kind === 'station-list' ? { station: 'W-1' } : {}) } : {};
  const runId = anId();
  const bytes = new TextEncoder().encode(sampleFleetCsv(kind));
  const file = () => ({ bytes: (async function* () { yield bytes; })(), digest: () => createHash('sha256').update(bytes).digest('hex') });
  await perform.bulk(importFile, who, { kind, runId, fileName: `${kind}.csv`, mode: 'preview', ...more, file: file() });
  return perform.bulk(importFile, who, { kind, runId, fileName: `${kind}.csv`, mode: 'keep', ...more, file: file() });
}

describe('a new company', () => {
  it('begins with clients, and each file moves it to the next step', async () => {
    expect(await perform(showFirstRun, who, {})).toMatchObject({ next: 'clients', unplacedSites: 0 });
    const nexts: string[] = [];
    for (const kind of ['clients', 'sites', 'systems', 'zones', 'devices', 'accounts', 'technicians'] as const) {
      await take(kind);
      nexts.push((await perform(showFirstRun, who, {})).next!);
    }
    expect(nexts).toEqual(['sites', 'systems', 'parts', 'parts', 'accounts', 'technicians', 'programme']);
  });

  it('the small company imports whole, in the order of the kinds, with no row held', async () => {
    let rows = 0;
    for (const kind of IMPORT_KIND_NAMES) {
      if (kind === 'licences' || kind === 'checks') continue;
      const run = await take(kind);
      expect([kind, run.rowsHeld, run.problems]).toEqual([kind, 0, []]);
      rows += run.rowsRead;
    }
    expect(rows).toBeGreaterThan(130);
    const { steps, helpful } = await perform(showFirstRun, who, {});
    expect(Object.fromEntries(steps.map((one) => [one.step, one.count]))).toMatchObject({ clients: 4, sites: 12, systems: 12, parts: 48, accounts: 12, technicians: 2, programme: 0, week: 0 });
    expect(helpful).toEqual({ checks: 0, stationLists: 1, invoiceLists: 1 });
  });
});
