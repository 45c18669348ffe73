import { Refusal, type SiteExposureView } from '@bellround/contracts';
import { siteComponents } from '@bellround/database';
import { dayNumber, fromDayNumber, localDate } from '@bellround/recurrence';
import { scoreSite } from '@bellround/risk';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { promotedModel, sitesOf, todayOf } from './steps.js';

/** One site scored on the facts of now, with everything that explains it. */
export const showExposure: Act<{ siteId: string }, SiteExposureView> = async (ctx, { siteId }) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = await todayOf(ctx);
  const day = dayNumber(localDate(today));
  const { model } = await promotedModel(ctx);
  const [one] = sitesOf(await siteComponents(ctx.tx, [siteId], today), day);
  const input = one?.input ?? { siteId, lifeSafety: site.sleepingRisk, weight: 1, systems: [] };
  const nextProofDay = one?.nextProofDay ?? day + 365;
  const score = scoreSite(model, input, { today: day, nextProofDay });
  const stored = await ctx.tx.db.siteExposure.findUnique({ where: { companyId_siteId: { ...own(ctx), siteId } } });
  return {
    siteId, siteName: site.name, score: score.score, percentile: stored?.percentile ?? null, exposureH: score.exposureH, exposurePerYearH: score.exposurePerYearH, nextProofOn: fromDayNumber(nextProofDay), scoredOn: today,
    reasons: [...score.reasons], missing: [...score.missing], shares: score.shares.map((share) => ({ ...share, label: one?.labels.get(share.componentId) ?? share.class })), links: [...score.links], curve: [...score.curve], modelVersion: score.modelVersion,
  };
};
