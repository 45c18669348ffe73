import type { Role, Settings } from '@bellround/contracts';
import type { Compute, Perform, Tools, Who } from '@bellround/operations';
import type { PictureStore } from '../pictures/picture-store.js';

/** Token of the one object that main.ts builds and every controller gets. */
export const DOOR = 'bellround:door';

export interface SignInCandidate { companyId: string; companySlug: string; companyName: string; userId: string; passwordHash: string }

/** What controllers may use: the acts' one entrance, and the few questions that cross companies. */
export interface Door {
  readonly perform: Perform;
  /** where the dispatcher's questions are computed: never in a transaction, never where requests are answered */
  readonly compute: Compute;
  /** where the bytes of pictures are */
  readonly pictures: PictureStore;
  readonly tools: Tools;
  readonly settings: Settings;
  sessionOf(hash: string): Promise<{ who: Who & { role: Role }; hash: string } | null>;
  signInCandidates(email: string): Promise<SignInCandidate[]>;
  feedOf(hash: string): Promise<{ companyId: string; feedId: string; technicianId: string } | null>;
  /** the company and address behind a secret's digest, while it is open */
  auditorOf(hash: string): Promise<{ companyId: string; linkId: string } | null>;
  /** counts bad tries of `key` since `since`, and records one */
  badTries(key: string, since: Date): Promise<number>;
  recordTry(key: string, good: boolean): Promise<void>;
  /** live notices; returns how to stop */
  watch(companyId: string, onNotice: (about: string, siteId: string | null) => void): () => void;
  /** whether an error says that the database, or the store of pictures, is not reachable now, so that the same request may succeed later */
  unreachable(error: unknown): boolean;
  /** answers when the database does */
  alive(): Promise<void>;
}
