import { randomBytes } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Settings, type AnswerOf, type AskOf, type ProblemDocument, type Role, type Route } from '@bellround/contracts';
import { nodeTools } from '@bellround/database';
import { anId, aUser, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { computeHere } from '@bellround/operations';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { buildApp } from '../door/app.js';
import { openDoor } from '../main.js';
import { diskPictures } from '../pictures/disk-pictures.js';

export interface TestApi {
  readonly test: TestDatabase;
  readonly app: NestFastifyApplication;
  /** the folder that pictures are kept in */
  readonly pictures: string;
  /** the clock of the house; set it to move time */
  clock: { now: Date };
  /** a cookie of a fresh session of a new user with this role */
  signInAs(companyId: string, role: Role, technicianId?: string): Promise<string>;
  ask<R extends Route>(route: R, cookie: string | null, input: AskOf<R>, body?: string): Promise<{ status: number; body: AnswerOf<R> & ProblemDocument; text: string; headers: Record<string, unknown> }>;
  close(): Promise<void>;
}

/** The whole HTTP door on a database of its own, without a socket. */
export async function openTestApi(now = '2027-03-01T09:00:00Z'): Promise<TestApi> {
  const test = await cloneDatabase();
  const clock = { now: new Date(now) };
  const folder = await mkdtemp(join(tmpdir(), 'pictures-'));
  const door = await openDoor(test.database, Settings.parse({ CODE_KEY: 'cd'.repeat(32) }), computeHere, diskPictures(folder), { ...nodeTools, now: () => clock.now });
  const app = await buildApp(door, null);
  await app.init();
  await app.getHttpAdapter().getInstance().ready();
  return {
    test, app, clock, pictures: folder,
    signInAs: async (companyId, role, technicianId) => {
      const secret = randomBytes(16).toString('hex');
      await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
        const user = await aUser(tx, companyId, { role, technicianId: technicianId ?? null });
        await tx.db.session.create({ data: { companyId, id: anId(), userId: user.id, tokenHash: nodeTools.sha256(secret), createdAt: clock.now, expiresAt: new Date(clock.now.getTime() + 365 * 86_400_000) } });
      });
      return `bellround_session=${secret}`;
    },
    ask: async (route, cookie, input, body) => {
      const left = { ...(input as Record<string, unknown>) };
      const path = route.path.replace(/:(\w+)/g, (_, name: string) => { const value = String(left[name]); delete left[name]; return encodeURIComponent(value); });
      const asQuery = route.method === 'GET' || route.carries === 'upload';
      const query = asQuery ? `?${new URLSearchParams(Object.entries(left).filter(([, v]) => v !== undefined).map(([k, v]) => [k, String(v)])).toString()}` : '';
      const response = await app.inject({
        method: route.method, url: path + query, headers: { ...(cookie ? { cookie } : {}), ...(route.carries === 'upload' ? { 'content-type': 'text/csv' } : {}) },
        ...(asQuery ? (body === undefined ? {} : { payload: body }) : { payload: left }),
      });
      const json = /json/.test(String(response.headers['content-type']));
      return { status: response.statusCode, body: (json ? response.json() : null) as never, text: response.payload, headers: response.headers };
    },
    close: async () => { await app.close(); await door.close(); await test.drop(); await rm(folder, { recursive: true, force: true }); },
  };
}
