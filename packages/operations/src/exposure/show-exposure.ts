import { Refusal, type SiteExposureView } from '@bellround/contracts';
import { plannedProofs } from '@bellround/database';
import { dayNumber, fromDayNumber, localDate } from '@bellround/recurrence';
import { scoreSite, type SiteScore } from '@bellround/risk';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { promotedModel, sitesToScore, todayOf } from './steps.js';

/** How far ahead the curve looks, days: half a year holds the usual interval between visits. */
const CURVE_DAYS = 182;
const CURVE_STEP_DAYS = 14;
const MOST_PROOFS = 6;

/** One site scored on the facts of now, with everything that explains it. */
export const showExposure: Act<{ siteId: string }, SiteExposureView> = async (ctx, { siteId }) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = await todayOf(ctx);
  const day = dayNumber(localDate(today));
  const { model } = await promotedModel(ctx);
  const one = (await sitesToScore(ctx, [siteId], today))[0]!;
  const proofs = await plannedProofs(ctx.tx, siteId, today, MOST_PROOFS);
  const score = scoreSite(model, one.input, { today: day, nextProofDay: one.nextProofDay });
  const horizon = Math.max(day + CURVE_DAYS, one.nextProofDay);
  const proofDays = proofs.map((proof) => dayNumber(localDate(proof.on)));
  const days = [...new Set([...Array.from({ length: Math.ceil(CURVE_DAYS / CURVE_STEP_DAYS) + 1 }, (_, n) => day + Math.min(CURVE_DAYS, n * CURVE_STEP_DAYS)), one.nextProofDay, ...proofDays])];
  const { curve } = scoreSite(model, one.input, { today: day, nextProofDay: horizon }, { gaps: false, curveDays: days });
  const stored = await ctx.tx.db.siteExposure.findUnique({ where: { companyId_siteId: { ...own(ctx), siteId } } });
  const untilOf = (proofDay: number) => curve.find((point) => point.day === proofDay)?.exposureH ?? 0;
  const nextProofOn = fromDayNumber(one.nextProofDay);
  return {
    siteId, siteName: site.name, score: score.score, percentile: stored?.percentile ?? null, exposureH: score.exposureH, exposurePerYearH: score.exposurePerYearH, yearAheadH: score.yearAheadH, ifKnownGoodH: score.exposureIfKnownGoodH,
    nextProofOn, nextProofWhy: proofs.find((proof) => proof.on === nextProofOn)?.why ?? 'no proof is planned; this day is assumed', scoredOn: today,
    proofs: proofs.map((proof, at) => ({ ...proof, exposureH: untilOf(proofDays[at]!) })),
    reasons: [...score.reasons], missing: [...score.missing], shares: score.shares.map((share) => ({ ...share, label: one.labels.get(share.componentId) ?? 'not recorded' })), links: [...score.links],
    systems: one.input.systems.map(({ systemId, kind }) => ({ systemId, kind })), components: componentsOf(score, one.labels),
    curve: curve.filter((point) => point.day <= day + CURVE_DAYS).map((point) => ({ on: fromDayNumber(point.day), exposureH: point.exposureH, totalToHorizonH: point.totalToHorizonH })), horizonOn: fromDayNumber(horizon),
    modelVersion: score.modelVersion,
  };
};

/** Whole shares by component, largest first; `recorded` is false for what stands in for a missing record. */
function componentsOf(score: SiteScore, labels: ReadonlyMap<string, string>): SiteExposureView['components'] {
  const totals = new Map<string, SiteExposureView['components'][number]>();
  for (const { systemId, componentId, class: cls, share } of score.shares) {
    const key = `${systemId} ${componentId}`;
    const before = totals.get(key) ?? { systemId, componentId, class: cls, label: labels.get(componentId) ?? 'not recorded', share: 0, recorded: labels.has(componentId) };
    totals.set(key, { ...before, share: before.share + share });
  }
  return [...totals.values()].sort((a, b) => b.share - a.share);
}
