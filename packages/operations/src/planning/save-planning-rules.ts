import { Refusal, type PlanningRulesShown, type SavePlanningRules } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { planningRulesOf } from '../rounds-need.js';
import { note } from '../steps.js';

/** Changes how the company plans; the next plan follows it. Throws Stale when somebody changed it since `version` was shown. */
export const savePlanningRules: Act<SavePlanningRules, PlanningRulesShown> = async (ctx, { version, ...rules }) => {
  await ctx.tx.sql('select 1 from company where id = current_company() for update', []);
  const before = await planningRulesOf(ctx);
  if (before.version !== version) throw new Refusal('Stale', 'Somebody changed this since you opened it. Load it again; what you typed is still on your screen.');
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  await ctx.tx.db.company.update({ where: { id: company.id }, data: { settings: { ...(company.settings as object), planning: rules } } });
  await note(ctx, { act: 'save-planning-rules', about: 'week', summary: `Planning: depot ${rules.depot?.address ?? 'none'}; slack ${rules.slack === null ? 'none' : rules.slack === 'forecast' ? 'by forecast' : `${rules.slack} min a day`}; minutes ${rules.learnMinutes ? 'learned' : 'as counted'}; travel ${rules.learnTravel ? 'learned' : 'as estimated'}` });
  return planningRulesOf(ctx);
};
