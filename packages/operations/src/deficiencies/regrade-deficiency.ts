import { Refusal, type DeficiencyView, type RegradeDeficiency } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { dbDay, localDayOf, note, own } from '../steps.js';
import { addDays, addFact, deficiencyView, dueRule, factGivenBefore, lockedDeficiency } from './steps.js';

/** Gives another severity with the reason; the due day follows the new one's rule, counted from the day it was raised. */
export const regradeDeficiency: Act<RegradeDeficiency, DeficiencyView> = async (ctx, input) => {
  const row = await lockedDeficiency(ctx, input.deficiencyId);
  const digest = ctx.sha256(JSON.stringify([input.deficiencyId, 'regraded', input.severity, input.reason]));
  if (await factGivenBefore(ctx, input.id, digest)) return deficiencyView(ctx, row.id);
  if (row.state === 'closed') throw new Refusal('WrongState', 'It is closed; its severity is history now.');
  if (row.severity === input.severity) throw new Refusal('WrongState', `It is graded ${row.severity} already.`);
  const site = await ctx.tx.db.site.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: row.siteId } }, select: { timeZone: true } });
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } });
  const dueOn = addDays(dbDay(localDayOf(row.raisedAt, site.timeZone)), dueRule(company.settings, input.severity).days);
  await ctx.tx.db.deficiency.update({ where: { companyId_id: { ...own(ctx), id: row.id } }, data: { severity: input.severity, dueOn } });
  const entry = await addFact(ctx, { id: input.id, deficiencyId: row.id, kind: 'regraded', words: input.reason, detail: { digest, from: row.severity, to: input.severity, dueOn: dueOn.toISOString().slice(0, 10) } });
  await note(ctx, { act: 'regrade-deficiency', about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${row.title}: ${row.severity} is now ${input.severity}` });
  await appendLeaves(ctx, [entry]);
  return deficiencyView(ctx, row.id);
};
