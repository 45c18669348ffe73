import { hash, verify, type Options } from '@node-rs/argon2';

// OWASP Password Storage guidance for argon2id: 19 MiB, 2 passes, 1 lane (from memory; verify against the current sheet).
const ARGON: Options = { memoryCost: 19_456, timeCost: 2, parallelism: 1 };
/** A hash of nothing anybody knows, verified when an e-mail is unknown so that both answers take as long. */
const DECOY = hash('decoy that is verified for unknown e-mails', ARGON);

export function hashPassword(password: string): Promise<string> {
  return hash(password, ARGON);
}

/** Those of the candidates whose password it is; always does at least one verification's work. */
export async function verifyAny<T extends { passwordHash: string }>(candidates: T[], password: string): Promise<T[]> {
  if (candidates.length === 0) {
    await verify(await DECOY, password);
    return [];
  }
  const good: T[] = [];
  for (const candidate of candidates) if (await verify(candidate.passwordHash, password).catch(() => false)) good.push(candidate);
  return good;
}
