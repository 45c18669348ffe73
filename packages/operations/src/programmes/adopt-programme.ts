import { Refusal, type ProgrammeSaved } from '@bellround/contracts';
import { programmeLibrary } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { checkedProgramme } from './steps.js';

/** Adopts a programme of the library as it stands. Adopting what is adopted already answers that. */
export const adoptProgramme: Act<{ id: string; libraryKey: string }, ProgrammeSaved> = async (ctx, input) => {
  const given = programmeLibrary.find((programme) => programme.key === input.libraryKey);
  if (!given) throw new Refusal('NotFound', `The library has no programme "${input.libraryKey}". It has: ${programmeLibrary.map((programme) => programme.key).join(', ')}.`);
  const used = await ctx.tx.db.programme.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (used && used.key !== given.key) throw new Refusal('IdReused', 'This id belongs to another programme of your company.');
  const latest = used ?? await ctx.tx.db.programme.findFirst({ where: { ...own(ctx), key: given.key }, orderBy: { version: 'desc' } });
  if (latest) return { id: latest.id, key: latest.key, version: latest.version, dryRun: false, changes: null };
  const body = checkedProgramme(given);
  await ctx.tx.db.programme.create({ data: { ...own(ctx), id: input.id, key: body.key, version: body.version, title: body.title, body: body as object, createdAt: ctx.now, createdBy: ctx.who.userId } });
  await note(ctx, { act: 'adopt-programme', about: 'programme', id: input.id, summary: `${body.title} adopted` });
  return { id: input.id, key: body.key, version: body.version, dryRun: false, changes: null };
};
