import { dateOfDay, limitSides, readingTrends, requiredStandbyAh, requireDay, type CheckDefinition, type CheckFacts, type Limit, type ReadingTrend } from '@bellround/acceptance';
import { Refusal, type InputOf, type ReadingTrendRow, type conditionRoutes } from '@bellround/contracts';
import { catalogue } from '@bellround/programmes';
import { checkFactsOf, installedAt, subjectsOf } from '../installed.js';
import type { Act } from '../perform.js';
import { localDayOf, own } from '../steps.js';

/** Every number that was read of a site's parts on three dates or more, those that move to their limit first, soonest first. */
export const siteTrends: Act<InputOf<typeof conditionRoutes.siteTrends>, { asOf: string; rows: ReadingTrendRow[]; total: number }> = async (ctx, input) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const at = await installedAt(ctx, site);
  const asOf = localDayOf(ctx.now, site.timeZone);
  const systems = new Map(at.systems.map((system) => [system.id, system.name]));
  const rows = subjectsOf(at).flatMap((subject) => {
    const facts = checkFactsOf(at, subject);
    const part = { subjectId: subject.id, subjectName: subject.name, room: subject.room, systemName: systems.get(subject.systemId) ?? '' };
    return trendsOf(facts, asOf).map(({ checkKind, trend }) => ({ ...part, ...rowOf(checkKind, trend) }));
  });
  const wanted = input.search?.toLowerCase();
  const found = rows.filter((row) => (!input.moving || row.crosses !== null) && (!wanted || [row.subjectName, row.room ?? '', row.systemName, row.label].some((text) => text.toLowerCase().includes(wanted))));
  const whenOf = (row: ReadingTrendRow) => row.crosses?.on ?? '9999';
  found.sort((a, b) => (whenOf(a) === whenOf(b) ? `${a.subjectName} ${a.label}`.localeCompare(`${b.subjectName} ${b.label}`, 'en') : whenOf(a) < whenOf(b) ? -1 : 1));
  return { asOf, rows: found.slice(input.offset, input.offset + input.limit), total: found.length };
};

function trendsOf(facts: CheckFacts, asOf: string): { checkKind: string; trend: ReadingTrend }[] {
  // Today's readings are of the past already: nothing is being read now.
  const now = dateOfDay(requireDay(asOf) + 1);
  return catalogue.flatMap((definition) => {
    if (!Object.keys(facts.series ?? {}).some((key) => key.startsWith(`${definition.key}/`))) return [];
    const margin = definition.judge === 'wireless-margin' ? marginAsReading(definition, facts) : null;
    return [...readingTrends(definition, { ...facts, limits: [...facts.limits ?? [], ...capacityLimits(definition, facts)] }, {}, now), ...(margin === null ? [] : readingTrends(margin.definition, margin.facts, {}, now))].map((trend) => ({ checkKind: definition.key, trend }));
  });
}

/** What this site's loads ask of its battery, where that is more than the rule of the catalogue asks. */
function capacityLimits(definition: CheckDefinition, { battery, load }: CheckFacts): Limit[] {
  if (!battery?.ratedMah || !load) return [];
  const pct = (100_000 * requiredStandbyAh(load, load.convention ?? { kind: 'sum', allowance: load.allowance })) / battery.ratedMah;
  const need = Math.ceil(pct * 100) / 100;
  return definition.limits.flatMap((limit) => (limit.reading === 'capacityPct' && typeof limit.value === 'number' && need > limit.value ? [{ ...limit, value: need }] : []));
}

/** The margin is no reading of its own, it is level over noise; it has a trend and a limit all the same. */
function marginAsReading(definition: CheckDefinition, { radio }: CheckFacts): { definition: CheckDefinition; facts: CheckFacts } {
  const least = radio?.minMarginDb ?? Number(definition.params['minMarginDb']);
  const limit: Limit = { reading: 'marginDb', comparator: '>=', value: least, unit: 'dB', level: 'fail', source: definition.source };
  return {
    definition: { ...definition, readings: [{ key: 'marginDb', label: 'Margin', unit: 'dB', kind: 'number', required: false }], limits: [limit] },
    facts: { series: { [`${definition.key}/marginDb`]: (radio?.history ?? []).map(({ on, marginDb }) => ({ on, value: marginDb })) } },
  };
}

function rowOf(checkKind: string, { reading, label, unit, limit, values, trend, crosses, isNear, words }: ReadingTrend): Omit<ReadingTrendRow, 'subjectId' | 'subjectName' | 'room' | 'systemName'> {
  return {
    checkKind, reading, label, unit, values: values.map(({ on, value }) => ({ on, value })), edges: limit === null ? [] : limitSides(limit).map((side) => side.value),
    atLast: trend.atLast, slopePerYear: trend.slopePerYear, slopeLowPerYear: trend.slopeLowPerYear, slopeHighPerYear: trend.slopeHighPerYear,
    crosses: crosses ? { on: trend.crossesOn!, earliest: trend.crossesEarliest!, latest: trend.crossesLatest, isNear } : null, words,
  };
}
