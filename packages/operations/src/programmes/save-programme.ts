import { Refusal, type ProgrammeSaved, type SaveProgramme } from '@bellround/contracts';
import type { Programme } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { checkedProgramme, diffShown } from './steps.js';

/**
 * Saves an edited programme as the next version of its key (a new key begins at 1), or only shows what it changes. Versions
 * are never edited: systems keep the one that is laid on them until another is applied.
 */
export const saveProgramme: Act<SaveProgramme, ProgrammeSaved> = async (ctx, input) => {
  const given = checkedProgramme({ version: 1, ...input.body });
  const used = await ctx.tx.db.programme.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (used) {
    const same = ctx.sha256(JSON.stringify(sorted({ ...(used.body as object), version: 0 }))) === ctx.sha256(JSON.stringify(sorted({ ...given, version: 0 })));
    if (!same) throw new Refusal('IdReused', 'This id was already used for another programme.');
    return { id: used.id, key: used.key, version: used.version, dryRun: false, changes: null };
  }
  const latest = await ctx.tx.db.programme.findFirst({ where: { ...own(ctx), key: given.key }, orderBy: { version: 'desc' } });
  if (latest && input.basedOn !== latest.id) {
    throw new Refusal('Stale', `Version ${latest.version} of "${given.key}" was saved by somebody since, or the key is taken. Edit that version, or give yours another key.`, { data: { latestId: latest.id, version: latest.version } });
  }
  if (!latest && input.basedOn !== null) {
    const base = await ctx.tx.db.programme.findUnique({ where: { companyId_id: { ...own(ctx), id: input.basedOn } } });
    if (!base) throw new Refusal('NotFound', 'There is no programme by the id this was edited from.');
  }
  const body: Programme = { ...given, version: (latest?.version ?? 0) + 1 };
  const changes = latest ? diffShown(latest.body as unknown as Programme, body) : null;
  if (!input.dryRun) {
    await ctx.tx.db.programme.create({ data: { ...own(ctx), id: input.id, key: body.key, version: body.version, title: body.title, body: body as object, createdAt: ctx.now, createdBy: ctx.who.userId } });
    await note(ctx, { act: 'save-programme', about: 'programme', id: input.id, summary: `${body.title}: version ${body.version} saved` });
  }
  return { id: input.id, key: body.key, version: body.version, dryRun: input.dryRun, changes };
};

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, part]) => [key, sorted(part)]));
}
