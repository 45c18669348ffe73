import type { Role } from '@bellround/contracts';
import { isRetryable, type Bulk, type Database, type Tx } from '@bellround/database';

/** Who asks, as a door established it. `userId` null: the house itself (worker, launcher). */
export interface Who {
  readonly companyId: string;
  readonly userId: string | null;
  readonly name: string;
  readonly role: Role | 'house';
  readonly technicianId: string | null;
}

/** All that an act may touch. No clock, environment or connection but these. */
export interface Ctx {
  readonly tx: Tx;
  readonly who: Who;
  /** UTC instant at which the request was taken */
  readonly now: Date;
  /** a new UUIDv7 */
  readonly newId: () => string;
  /** SHA-256 of UTF-8 text, hex */
  readonly sha256: (text: string) => string;
  readonly seed: number;
}

/** One act: one exported function, one transaction, one answer with all that the screen needs. */
export type Act<I, O> = (ctx: Ctx, input: I) => Promise<O>;

/** An act over a whole file: the transaction is a streaming session with COPY instead of Prisma. */
export interface BulkCtx extends Omit<Ctx, 'tx'> { readonly bulk: Bulk }
export type BulkAct<I, O> = (ctx: BulkCtx, input: I) => Promise<O>;

export interface Tools {
  readonly now: () => Date;
  readonly newId: () => string;
  readonly sha256: (text: string) => string;
  readonly seed: () => number;
}

export interface Perform {
  <I, O>(act: Act<I, O>, who: Who, input: I): Promise<O>;
  bulk<I, O>(act: BulkAct<I, O>, who: Who, input: I): Promise<O>;
}

const TRIES = 4;

/**
 * Makes the one function through which every door acts. An act that loses a race is run again, at most three times more,
 * which is safe because it touches only its context.
 */
export function createPerform(database: Database, tools: Tools, options: { timeoutMs?: number } = {}): Perform {
  const context = (who: Who) => ({ who, now: tools.now(), newId: tools.newId, sha256: tools.sha256, seed: tools.seed() });
  const perform = async <I, O>(act: Act<I, O>, who: Who, input: I): Promise<O> => {
    for (let attempt = 1; ; attempt++) {
      try {
        return await database.inCompany({ companyId: who.companyId, actorId: who.userId }, (tx) => act({ tx, ...context(who) }, input), options);
      } catch (error) {
        if (attempt >= TRIES || !isRetryable(error)) throw error;
      }
    }
  };
  return Object.assign(perform, {
    bulk: <I, O>(act: BulkAct<I, O>, who: Who, input: I): Promise<O> =>
      database.bulk({ companyId: who.companyId, actorId: who.userId }, (bulk) => act({ bulk, ...context(who) }, input)),
  });
}
