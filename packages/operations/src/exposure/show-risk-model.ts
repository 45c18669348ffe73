import type { RiskModelView } from '@bellround/contracts';
import { meanLife, type RiskModel } from '@bellround/risk';
import type { Act } from '../perform.js';
import { dayText, dayTextOrNull, own } from '../steps.js';

const HOURS_PER_YEAR = 8766;

/** The promoted model in units people know: failures per year. */
export const showRiskModel: Act<object, RiskModelView | null> = async (ctx) => {
  const row = await ctx.tx.db.riskModelVersion.findFirst({ where: { ...own(ctx), promoted: true }, orderBy: { fittedAt: 'desc' } });
  if (!row) return null;
  const model = row.model as unknown as RiskModel;
  return {
    version: model.version, fittedAt: row.fittedAt.toISOString(), fromDay: dayTextOrNull(row.fromDay), toDay: dayText(row.toDay),
    classes: Object.entries(model.rates).map(([cls, rate]) => ({ class: cls, meanPerYear: rate.meanPerHour * HOURS_PER_YEAR, lowPerYear: rate.lowPerHour * HOURS_PER_YEAR, highPerYear: rate.highPerHour * HOURS_PER_YEAR, failures: rate.failures, yearsInService: rate.hoursInService / HOURS_PER_YEAR, components: rate.components, source: rate.source, rule: rate.rule })),
    battery: { meanYears: meanLife(model.battery), source: model.battery.source, lives: model.battery.lives, failed: model.battery.failed, rule: model.battery.rule },
  };
};
