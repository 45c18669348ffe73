import { Refusal } from '@bellround/contracts';
import { dayNumber, localDate } from '@bellround/recurrence';
import { RiskInputError, whatIf, type SiteChange, type WhatIf } from '@bellround/risk';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { promotedModel, sitesToScore, todayOf } from './steps.js';

type Change = Exclude<SiteChange, { kind: 'visit-on' }> | { kind: 'visit-on'; on: string };

/** Compares a site as it is with the site after one change. Nothing is written. */
export const whatIfExposure: Act<{ siteId: string; change: Change }, Pick<WhatIf, 'savedH' | 'savedShare' | 'ofH' | 'sentence'> & { scoreBefore: number; scoreAfter: number }> = async (ctx, { siteId, change }) => {
  const found = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } }, select: { id: true } });
  if (!found) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = await todayOf(ctx);
  const day = dayNumber(localDate(today));
  const site = (await sitesToScore(ctx, [siteId], today))[0]!;
  const { model } = await promotedModel(ctx);
  if (change.kind === 'visit-on' && change.on < today) throw new Refusal('BadInput', `The day ${change.on} is past; accepted: ${today} or later.`, { errors: [{ path: 'change.on', message: `must be ${today} or later` }] });
  const asked: SiteChange = change.kind === 'visit-on' ? { kind: 'visit-on', day: dayNumber(localDate(change.on)) } : change;
  try {
    const { savedH, savedShare, ofH, sentence, before, after } = whatIf(model, site.input, asked, { today: day, nextProofDay: site.nextProofDay });
    return { savedH, savedShare, ofH, sentence, scoreBefore: before.score, scoreAfter: after.score };
  } catch (error) {
    if (error instanceof RiskInputError) throw new Refusal('BadInput', error.message);
    throw error;
  }
};
