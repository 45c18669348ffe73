import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { routes } from '@bellround/contracts';
import { aCompany, anId, aUser } from '@bellround/database/testing';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';
import { hashPassword } from './passwords.js';

const A = anId();
const B = anId();
let api: TestApi;

beforeAll(async () => {
  api = await openTestApi();
  const passwordHash = await hashPassword('correct horse battery');
  for (const [companyId, slug] of [[A, 'quillmere'], [B, 'brack']] as const) {
    await api.test.database.inCompany({ companyId, actorId: null }, async (tx) => {
      await aCompany(tx, companyId, { slug });
      await aUser(tx, companyId, { email: 'both@x.example', role: 'owner', passwordHash });
      if (slug === 'quillmere') await aUser(tx, companyId, { email: 'ann@x.example', role: 'owner', passwordHash });
    });
  }
});
afterAll(() => api.close());

describe('sign-in', () => {
  it('opens a session by cookie and says who it is', async () => {
    const answer = await api.ask(routes.signIn, null, { email: 'Ann@x.example', password: 'correct horse battery' });
    expect(answer.status).toBe(200);
    const cookie = String(answer.headers['set-cookie']);
    expect(cookie).toMatch(/HttpOnly/);
    expect(cookie).toMatch(/SameSite=Strict/);
    const me = await api.ask(routes.me, cookie.split(';')[0]!, {});
    expect(me.body.company.slug).toBe('quillmere');
    expect(me.headers['cache-control']).toBe('no-store');
    await api.ask(routes.signOut, cookie.split(';')[0]!, {});
    expect((await api.ask(routes.me, cookie.split(';')[0]!, {})).status).toBe(401);
  });

  it('answers a wrong password and an unknown e-mail alike', async () => {
    const wrong = await api.ask(routes.signIn, null, { email: 'ann@x.example', password: 'nope' });
    const unknown = await api.ask(routes.signIn, null, { email: 'nobody@x.example', password: 'nope' });
    expect(wrong.status).toBe(401);
    expect({ ...wrong.body }).toEqual({ ...unknown.body });
  });

  it('asks which company when the e-mail belongs to several', async () => {
    const which = await api.ask(routes.signIn, null, { email: 'both@x.example', password: 'correct horse battery' });
    expect(which.status).toBe(409);
    const chosen = await api.ask(routes.signIn, null, { email: 'both@x.example', password: 'correct horse battery', company: 'brack' });
    expect(chosen.body.company.slug).toBe('brack');
  });

  it('refuses further tries after eight wrong ones, and allows them again after a quarter of an hour', async () => {
    for (let i = 0; i < 8; i++) await api.ask(routes.signIn, null, { email: 'brute@x.example', password: 'nope' });
    expect((await api.ask(routes.signIn, null, { email: 'brute@x.example', password: 'nope' })).status).toBe(429);
    api.clock.now = new Date(api.clock.now.getTime() + 16 * 60_000);
    expect((await api.ask(routes.signIn, null, { email: 'brute@x.example', password: 'nope' })).status).toBe(401);
  });

  it('names the field that is wrong, and shows no stack', async () => {
    const bad = await api.ask(routes.signIn, null, { email: 'ann@x.example', password: 'x', extra: 1 } as never);
    expect(bad.status).toBe(400);
    expect(bad.headers['content-type']).toMatch(/application\/problem\+json/);
    expect(bad.text).not.toMatch(/at .*\.ts/);
  });

  it('a technician may not list users; an owner adds and disables one', async () => {
    const technician = await api.signInAs(A, 'technician');
    expect((await api.ask(routes.listUsers, technician, {})).status).toBe(403);
    const owner = await api.signInAs(A, 'owner');
    const id = anId();
    const added = await api.ask(routes.addUser, owner, { id, email: 'new@x.example', name: 'New', role: 'auditor', password: 'long enough pass' });
    expect(added.status).toBe(200);
    expect((await api.ask(routes.addUser, owner, { id, email: 'new@x.example', name: 'New', role: 'auditor', password: 'long enough pass' })).body).toEqual(added.body);
    expect((await api.ask(routes.disableUser, owner, { userId: id })).body.disabledAt).not.toBeNull();
    const foreign = await api.signInAs(B, 'owner');
    expect((await api.ask(routes.disableUser, foreign, { userId: id })).status).toBe(404);
  });
});
