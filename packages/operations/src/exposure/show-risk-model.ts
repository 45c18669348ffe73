import { Refusal, type RiskModelView } from '@bellround/contracts';
import { CLASS_DEFAULTS, COMPONENT_CLASSES, FAILURE_MODES, meanLife, MODES_SOURCE, SETTING_SOURCES, type RiskModel, type RiskSettings } from '@bellround/risk';
import type { Act } from '../perform.js';
import { dayText, dayTextOrNull, own } from '../steps.js';
import { reportView } from './steps.js';

const HOURS_PER_YEAR = 8766;
/** Lots further than this from their class are told one by one. */
const TELLING_LOT = 0.1;

/** A version in units people know: failures per year. Without an id the one in use; null before any. */
export const showRiskModel: Act<{ id?: string | undefined }, RiskModelView | null> = async (ctx, { id }) => {
  const row = id === undefined ? await ctx.tx.db.riskModelVersion.findFirst({ where: { ...own(ctx), promoted: true }, orderBy: { fittedAt: 'desc' } }) : await ctx.tx.db.riskModelVersion.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (!row && id !== undefined) throw new Refusal('NotFound', 'There is no fitted version by that id.');
  if (!row) return null;
  const model = row.model as unknown as RiskModel;
  return {
    id: row.id, version: model.version, promoted: row.promoted, fittedAt: row.fittedAt.toISOString(), fromDay: dayTextOrNull(row.fromDay), toDay: dayText(row.toDay),
    classes: Object.entries(model.rates).filter(([cls]) => cls !== 'battery').map(([cls, rate]) => ({ class: cls, meanPerYear: rate.meanPerHour * HOURS_PER_YEAR, lowPerYear: rate.lowPerHour * HOURS_PER_YEAR, highPerYear: rate.highPerHour * HOURS_PER_YEAR, shape: rate.shape, failures: rate.failures, yearsInService: rate.hoursInService / HOURS_PER_YEAR, components: rate.components, source: rate.source, rule: rate.rule })),
    battery: { meanYears: meanLife(model.battery), shape: model.battery.shape, scaleYears: model.battery.scaleYears, source: model.battery.source, lives: model.battery.lives, failed: model.battery.failed, rule: model.battery.rule },
    ...factorsOf(model),
    wrongVerdicts: model.verdicts === undefined ? null : { share: model.verdicts.single, secondLooks: model.verdicts.secondLooks },
    settings: Object.entries(model.settings).map(([name, value]) => ({ name, value, source: SETTING_SOURCES[name as keyof RiskSettings] })),
    modes: COMPONENT_CLASSES.map((cls) => ({ class: cls, reportedShare: CLASS_DEFAULTS[cls].reportedShare, modes: FAILURE_MODES[cls].map(({ words, share, revealedBy }) => ({ words, share, revealedBy: [...revealedBy] })) })), modesSource: MODES_SOURCE,
    report: reportView(row.report),
  };
};

function factorsOf(model: RiskModel): Pick<RiskModelView, 'factors' | 'factorsSource' | 'lots'> {
  const { weights } = model;
  const factors = [['10 dB of radio margin missing', weights.per10DbMissing], ['5 dB of margin lost per year', weights.per5DbLostAYear], ['one marginal reading', weights.perMarginalReading], ['a harsh place', weights.harsh]] as const;
  const lots = Object.entries(weights.cohorts ?? {}).flatMap(([key, log]) => (Math.abs(log) < TELLING_LOT ? [] : [{ class: key.slice(0, key.lastIndexOf(' ')), year: Number(key.slice(key.lastIndexOf(' ') + 1)), factor: Math.exp(log) }]));
  return { factors: factors.map(([name, log]) => ({ name, factor: Math.exp(log) })), factorsSource: model.weightsSource, lots: lots.sort((a, b) => b.factor - a.factor) };
}
