import { Refusal, type ExportBundle, type ProofBundle } from '@bellround/contracts';
import { leafHashes } from '@bellround/database';
import { frontierAppendAll, frontierRoot, inclusionProofFrom, makeBundle, nodeHash, publicKeyOf, signHead, BundleRefused, EMPTY_FRONTIER } from '@bellround/proof';
import type { Act } from '../perform.js';
import { dbDay, own } from '../steps.js';
import { checkEntry, factEntry, type LedgerEntry } from './steps.js';

/** Entries in one bundle; a larger question is asked in parts by date. */
const MOST = 20_000;

/**
 * Makes a proof bundle: the records of a site between two days, or of chosen checks, their inclusion proofs, and the head of
 * the company's ledger signed with `ledgerKey` (hex ed25519 seed, given by the door, never stored). Each record is rebuilt
 * from its rows and compared with the leaf that was appended with it: a difference is refused, naming the record.
 */
export const exportBundle: Act<ExportBundle & { ledgerKey: string }, ProofBundle> = async (ctx, input) => {
  const entries = await entriesAsked(ctx, input);
  if (entries.length === 0) throw new Refusal('NotFound', 'There are no records of that site and those days in the ledger.');
  if (entries.length > MOST) throw new Refusal('WrongState', `That is ${entries.length} records; a bundle holds at most ${MOST}. Ask for fewer days at a time.`);
  const leaves = new Map<string, { index: number; hash: string }>();
  for (let at = 0; at < entries.length; at += 5000) {
    const rows = await ctx.tx.db.ledgerLeaf.findMany({ where: { ...own(ctx), recordId: { in: entries.slice(at, at + 5000).map((entry) => entry.id) } } });
    for (const row of rows) leaves.set(`${row.recordKind}:${row.recordId}`, { index: Number(row.index), hash: row.leafHash });
  }
  const inLedger = entries.flatMap((entry) => {
    const leaf = leaves.get(`${entry.kind}:${entry.id}`);
    return leaf ? [{ index: leaf.index, record: entry.record }] : [];
  }).sort((a, b) => a.index - b.index);
  if (inLedger.length === 0) throw new Refusal('NotFound', 'These records were imported and never entered the ledger; there is nothing to prove them with.');
  const frontier = await ctx.tx.db.ledgerFrontier.findUniqueOrThrow({ where: own(ctx) });
  const hashes = await leafHashes(ctx.tx, Number(frontier.size));
  const whole = frontierAppendAll(EMPTY_FRONTIER, hashes);
  const levels = new Map<string, string>(whole.made.map((node) => [`${node.level}:${node.index}`, node.hash]));
  const read = ({ level, index }: { level: number; index: number }): string => levels.get(`${level}:${index}`) ?? nodeHash(read({ level: level - 1, index: index * 2 }), read({ level: level - 1, index: index * 2 + 1 }));
  const publicKey = publicKeyOf(input.ledgerKey);
  const head = signHead({ company: ctx.who.companyId, treeSize: hashes.length, rootHash: frontierRoot(whole.frontier), signedAt: ctx.now.toISOString() }, input.ledgerKey);
  const kept = { ...own(ctx), size: BigInt(head.treeSize) };
  await ctx.tx.db.ledgerHead.createMany({ skipDuplicates: true, data: [{ ...kept, rootHash: head.rootHash, signature: head.signature, publicKey, at: ctx.now }] });
  try {
    return makeBundle({ company: ctx.who.companyId, records: inLedger, proofs: inLedger.map(({ index }) => inclusionProofFrom(read, index, hashes.length)), head, publicKey }) as unknown as ProofBundle;
  } catch (error) {
    if (error instanceof BundleRefused) throw new Refusal('WrongState', `A record differs from what the ledger holds: ${error.message}. Do not correct it; tell your administrator.`);
    throw error;
  }
};

async function entriesAsked(ctx: Parameters<typeof exportBundle>[0], input: ExportBundle): Promise<LedgerEntry[]> {
  const { db } = ctx.tx;
  if (input.checkIds) {
    const checks = await db.check.findMany({ where: { ...own(ctx), id: { in: input.checkIds } }, include: { readings: true } });
    if (checks.length < new Set(input.checkIds).size) throw new Refusal('NotFound', 'One of the checks does not exist.');
    return checks.map(checkEntry);
  }
  const siteId = input.siteId!;
  if (!(await db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } }, select: { id: true } }))) throw new Refusal('NotFound', 'There is no site by that id.');
  const days = { ...(input.from ? { gte: dbDay(input.from) } : {}), ...(input.to ? { lte: dbDay(input.to) } : {}) };
  const moments = { ...(input.from ? { gte: dbDay(input.from) } : {}), ...(input.to ? { lt: new Date(dbDay(input.to).getTime() + 86_400_000) } : {}) };
  const checks = await db.check.findMany({ where: { ...own(ctx), siteId, performedOn: days }, include: { readings: true } });
  const visitFacts = await db.visitFact.findMany({ where: { ...own(ctx), visit: { siteId }, at: moments } });
  const holdFacts = await db.holdFact.findMany({ where: { ...own(ctx), hold: { visit: { siteId } }, at: moments } });
  const deficiencyFacts = await db.deficiencyFact.findMany({ where: { ...own(ctx), deficiency: { siteId }, at: moments } });
  const attempts = await db.attempt.findMany({ where: { ...own(ctx), siteId, at: moments } });
  return [
    ...checks.map(checkEntry), ...visitFacts.map((row) => factEntry('visit-fact', row)), ...holdFacts.map((row) => factEntry('hold-fact', row)),
    ...deficiencyFacts.map((row) => factEntry('deficiency-fact', row)), ...attempts.map((row) => factEntry('attempt', row)),
  ];
}
