import { createHash, randomBytes, randomInt } from 'node:crypto';
import type { Settings } from '@bellround/contracts';
import type { Database } from '@bellround/database';
import { createPerform, type Perform, type Tools, type Who } from '@bellround/operations';

/** What processors may use. */
export interface Workshop {
  readonly perform: Perform;
  readonly settings: Settings;
  /** the house itself, acting in one company */
  houseOf(companyId: string): Who;
}

export function uuid7(now: number): string {
  const bytes = randomBytes(16);
  bytes.writeUIntBE(now, 0, 6);
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

export const workerTools: Tools = {
  now: () => new Date(),
  newId: () => uuid7(Date.now()),
  sha256: (text) => createHash('sha256').update(text, 'utf8').digest('hex'),
  seed: () => randomInt(2 ** 31),
};

export function openWorkshop(database: Database, settings: Settings, tools: Tools = workerTools): Workshop {
  return {
    perform: createPerform(database, tools, { timeoutMs: 600_000 }),
    settings,
    houseOf: (companyId) => ({ companyId, userId: null, name: 'the house', role: 'house', technicianId: null }),
  };
}
