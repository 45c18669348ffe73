import { z } from 'zod';
import { Id, Instant, LocalDay } from './basics.js';
import { route } from './route.js';

/** Which records go into a bundle: those of one site between two days, or exactly these checks. */
export const ExportBundle = z.strictObject({ siteId: Id.optional(), checkIds: z.array(Id).max(2000).optional(), from: LocalDay.optional(), to: LocalDay.optional() })
  .refine((input) => (input.siteId === undefined) !== (input.checkIds === undefined), { error: 'name either a site or the checks, not both', path: ['siteId'] });
export type ExportBundle = z.infer<typeof ExportBundle>;

/** A bundle file's content; `bellround verify` and the web check it without trusting this server. */
export const ProofBundle = z.object({
  format: z.string(), company: z.string(), records: z.array(z.object({ index: z.int(), record: z.unknown() })), proofs: z.array(z.array(z.string())),
  head: z.object({ company: z.string(), treeSize: z.int(), rootHash: z.string(), signedAt: z.string(), signature: z.string() }), publicKey: z.string(),
});
export type ProofBundle = z.infer<typeof ProofBundle>;

export const LedgerState = z.object({ size: z.int(), rootHash: z.string(), lastAt: Instant.nullable(), publicKey: z.string().nullable() });

export const proofRoutes = {
  exportBundle: route({ name: 'exportBundle', method: 'POST', path: '/api/proof/bundle', summary: 'A proof bundle: records, their places in the ledger, and its signed head', may: 'read', input: ExportBundle, output: ProofBundle, problems: ['NotFound', 'WrongState', 'Unavailable'] }),
  ledgerState: route({ name: 'ledgerState', method: 'GET', path: '/api/proof/ledger', summary: "The ledger's size and root now", may: 'read', input: z.strictObject({}), output: LedgerState }),
};
