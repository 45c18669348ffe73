import { createHash, randomBytes, randomInt } from 'node:crypto';
import type { Role, Settings } from '@bellround/contracts';
import type { Perform, Tools, Who } from '@bellround/operations';

/** Token of the one object that main.ts builds and every controller gets. */
export const DOOR = 'bellround:door';

export interface SignInCandidate { companyId: string; companySlug: string; companyName: string; userId: string; passwordHash: string }

/** What controllers may use: the acts' one entrance, and the few questions that cross companies. */
export interface Door {
  readonly perform: Perform;
  readonly tools: Tools;
  readonly settings: Settings;
  sessionOf(hash: string): Promise<{ who: Who & { role: Role }; hash: string } | null>;
  signInCandidates(email: string): Promise<SignInCandidate[]>;
  feedOf(hash: string): Promise<{ companyId: string; feedId: string; technicianId: string } | null>;
  /** counts bad tries of `key` since `since`, and records one */
  badTries(key: string, since: Date): Promise<number>;
  recordTry(key: string, good: boolean): Promise<void>;
  /** live notices; returns how to stop */
  watch(companyId: string, onNotice: (about: string, siteId: string | null) => void): () => void;
  /** answers when the database does */
  alive(): Promise<void>;
}

/** UUID version 7 (RFC 9562 section 5.7): milliseconds first, so that keys of one batch stay near each other. */
export function uuid7(now: Date): string {
  const bytes = randomBytes(16);
  bytes.writeUIntBE(now.getTime(), 0, 6);
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

export const nodeTools: Tools = {
  now: () => new Date(),
  newId: () => uuid7(new Date()),
  sha256: (text) => createHash('sha256').update(text, 'utf8').digest('hex'),
  seed: () => randomInt(2 ** 31),
};
