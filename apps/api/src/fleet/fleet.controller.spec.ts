import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { routes, sampleCsv } from '@bellround/contracts';
import { aCompany, anId } from '@bellround/database/testing';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const [A, B] = [anId(), anId()];
let api: TestApi;
let cookie: string;

beforeAll(async () => {
  api = await openTestApi();
  for (const id of [A, B]) await api.test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  cookie = await api.signInAs(A, 'dispatcher');
});
afterAll(() => api.close());

describe('the fleet\'s doors', () => {
  it('takes a file as it is, previews it, keeps it, and gives it back', async () => {
    const input = { kind: 'clients' as const, runId: anId(), fileName: 'clients.csv' };
    const seen = await api.ask(routes.uploadImport, cookie, { ...input, mode: 'preview' }, sampleCsv('clients'));
    expect([seen.status, seen.body.state, seen.body.rowsNew]).toEqual([200, 'previewed', 1]);
    const kept = await api.ask(routes.uploadImport, cookie, { ...input, mode: 'keep' }, sampleCsv('clients'));
    expect([kept.status, kept.body.state]).toEqual([200, 'kept']);
    const out = await api.ask(routes.exportFleet, cookie, { kind: 'clients' });
    expect(out.headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(out.headers['content-disposition']).toBe('attachment; filename="clients.csv"');
    expect(out.text).toContain('Ostrel school board');
    expect((await api.ask(routes.listImports, cookie, {})).body.rows).toMatchObject([{ kind: 'clients', state: 'kept' }]);
  });

  it('a wrong header is a problem with each column named, and a held row is told with what is accepted', async () => {
    const wrong = await api.ask(routes.uploadImport, cookie, { kind: 'clients', runId: anId(), fileName: 'x.csv', mode: 'preview' }, 'key,nmae\n');
    expect([wrong.status, wrong.body.type]).toEqual([422, 'urn:bellround:problem:import-refused']);
    expect(wrong.body.errors).toContainEqual({ path: 'column 2', message: '"nmae" is no column of Clients; did you mean "name"?' });
    const runId = anId();
    const held = await api.ask(routes.uploadImport, cookie, { kind: 'clients', runId, fileName: 'x.csv', mode: 'preview' }, 'key,name,email\nC-9,"=1+1",nobody\n');
    expect(held.body.problems).toMatchObject([{ row: 2, column: 'email', value: 'nobody' }, { row: 2, column: 'name', value: '=1+1' }]);
    expect((await api.ask(routes.exportProblems, cookie, { runId })).text).toContain("'=1+1");
    expect((await api.ask(routes.dropImport, cookie, { runId })).body.state).toBe('dropped');
    expect((await api.ask(routes.uploadImport, cookie, { kind: 'clients', runId, fileName: 'x.csv', mode: 'keep' }, 'key,name,email\nC-9,"=1+1",nobody\n')).status).toBe(409);
  });

  it('a technician reads sites and may not import; another company finds nothing', async () => {
    const technician = await api.signInAs(A, 'technician');
    expect((await api.ask(routes.listSites, technician, {})).status).toBe(200);
    expect((await api.ask(routes.uploadImport, technician, { kind: 'clients', runId: anId(), fileName: 'x.csv', mode: 'preview' }, sampleCsv('clients'))).status).toBe(403);
    const stranger = await api.signInAs(B, 'owner');
    const [run] = (await api.ask(routes.listImports, cookie, {})).body.rows;
    const theirs = await api.ask(routes.importRun, stranger, { runId: run!.id });
    const nobodys = await api.ask(routes.importRun, stranger, { runId: anId() });
    expect([theirs.status, theirs.body.detail]).toEqual([404, nobodys.body.detail]);
    expect((await api.ask(routes.exportFleet, stranger, { kind: 'clients' })).text.split('\r\n')).toHaveLength(2);
  });

  it('gives a sample of each kind, lists and people', async () => {
    expect((await api.ask(routes.importSample, cookie, { kind: 'devices' })).text).toBe(sampleCsv('devices'));
    expect((await api.ask(routes.lists, cookie, {})).body.counts).toMatchObject({ station: null, schedule: 0 });
    expect((await api.ask(routes.listTechnicians, cookie, { search: 'x' })).body).toEqual({ rows: [], total: 0 });
    expect((await api.ask(routes.uploadImport, cookie, { kind: 'station-list', runId: anId(), fileName: 'x.csv', mode: 'preview' }, 'number,name\n')).body.errors).toMatchObject([{ path: 'listedOn' }, { path: 'station' }]);
  });
});
