import { acceptancesOver, impairmentClocksOver, interimsOver, writeDeficiencyStates, type WatchedDeficiency } from '@bellround/database';
import { companyRules } from '../installed.js';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { later, noteAll, own } from '../steps.js';
import { addFacts, CAUTIONS_WHEN_IMPAIRED, type NewFact } from './steps.js';

interface Said { readonly row: WatchedDeficiency; readonly fact: NewFact; readonly key: string; readonly subject: string; readonly words: string }

/**
 * DEF-8. What has run out while a deficiency is not mended: a measure that protects the site meanwhile, the time to tell the authority of
 * a fire system's impairment, a deferral. Each is a fact of its own and told once to owners and dispatchers; a deferral that is over
 * is open again. However many, a fixed number of statements.
 */
export const watchDeficiencies: Act<object, { interims: number; clocks: number; deferrals: number }> = async (ctx) => {
  const { settings } = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } });
  const [interims, clocks, deferrals] = [await interimsOver(ctx.tx, ctx.now), await impairmentClocksOver(ctx.tx, ctx.now, companyRules(settings).impairmentTellHours), await acceptancesOver(ctx.tx, ctx.now)];
  const said: Said[] = [...interims.map(measureOver), ...clocks.map(clockOver), ...deferrals.map(deferralOver)];
  if (said.length === 0) return { interims: 0, clocks: 0, deferrals: 0 };
  await writeDeficiencyStates(ctx.tx, deferrals.map((row) => ({ id: row.id, severity: row.severity, dueOn: row.dueOn, state: 'open', closedAt: null, closedByCheckId: null, acceptedUntil: null })));
  const entries = await addFacts(ctx, said.map((one) => one.fact));
  await tell(ctx, said);
  await appendLeaves(ctx, entries);
  return { interims: interims.length, clocks: clocks.length, deferrals: deferrals.length };
};

const instant = (at: Date | string): string => new Date(at).toISOString();

function measureOver(row: WatchedDeficiency): Said {
  const words = `What protects the site meanwhile (${row.words}; ${row.by}) ended at ${instant(row.endedAt)}, and it is not mended`;
  return { row, words, key: `interim:${row.factId}`, subject: `Nothing protects the site meanwhile: ${row.siteName}`, fact: { deficiencyId: row.id, kind: 'interim-over', words, detail: { interimId: row.factId, endedAt: instant(row.endedAt) } } };
}

function clockOver(row: WatchedDeficiency): Said {
  const words = `Nobody has written down that the authority was told of this impairment; it should have been by ${instant(row.endedAt)} (company rule; the authority's own time prevails)`;
  return { row, words, key: `clock:${row.id}:${instant(row.endedAt)}`, subject: `Has the authority been told? ${row.siteName}`, fact: { deficiencyId: row.id, kind: 'clock-over', words, detail: { tellBy: instant(row.endedAt) } } };
}

function deferralOver(row: WatchedDeficiency): Said {
  const until = String(row.endedAt).slice(0, 10);
  const words = `The deferral that ${row.by || 'somebody'} gave until ${until} is over (${row.words}); it is open again`;
  return { row, words, key: `deferral:${row.factId}`, subject: `A deferral is over: ${row.siteName}`, fact: { deficiencyId: row.id, kind: 'acceptance-over', words, detail: { acceptedId: row.factId, until } } };
}

async function tell(ctx: Ctx, said: readonly Said[]): Promise<void> {
  const people = await ctx.tx.db.user.findMany({ where: { ...own(ctx), role: { in: ['owner', 'dispatcher'] }, disabledAt: null } });
  await ctx.tx.db.message.createMany({ skipDuplicates: true, data: said.flatMap(({ row, words, key, subject }) => people.map((person) => ({
    ...own(ctx), id: ctx.newId(), kind: 'deficiency-watch', siteId: row.siteId, createdAt: ctx.now, state: 'waiting', toName: person.name, toEmail: person.email, dedupeKey: `${key}:${person.id}`, subject,
    body: `${CAUTIONS_WHEN_IMPAIRED.join('\n')}\n\n${row.siteName}, ${row.siteAddress}\n${row.title}\n\n${words}.\n\nLocal codes, the authority and licensed practice prevail.\nThis is not an alarm-receiving centre: in an emergency call the emergency services.`,
  }))) });
  await noteAll(ctx, said.map(({ row, words, fact }) => ({ act: fact.kind, about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${row.siteName}: ${words}` })));
  await later(ctx, 'send-messages', {});
}
