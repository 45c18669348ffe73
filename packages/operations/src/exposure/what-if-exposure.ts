import { Refusal } from '@bellround/contracts';
import { siteComponents } from '@bellround/database';
import { dayNumber, localDate } from '@bellround/recurrence';
import { RiskInputError, whatIf, type SiteChange, type WhatIf } from '@bellround/risk';
import type { Act } from '../perform.js';
import { promotedModel, sitesOf, todayOf } from './steps.js';

type Change = Exclude<SiteChange, { kind: 'visit-on' }> | { kind: 'visit-on'; on: string };

/** Compares a site as it is with the site after one change. Nothing is written. */
export const whatIfExposure: Act<{ siteId: string; change: Change }, Pick<WhatIf, 'savedH' | 'savedShare' | 'ofH' | 'sentence'>> = async (ctx, { siteId, change }) => {
  const today = await todayOf(ctx);
  const day = dayNumber(localDate(today));
  const [site] = sitesOf(await siteComponents(ctx.tx, [siteId], today), day);
  if (!site) throw new Refusal('NotFound', 'There is no site by that id with a system.');
  const { model } = await promotedModel(ctx);
  const asked: SiteChange = change.kind === 'visit-on' ? { kind: 'visit-on', day: dayNumber(localDate(change.on)) } : change;
  try {
    const { savedH, savedShare, ofH, sentence } = whatIf(model, site.input, asked, { today: day, nextProofDay: site.nextProofDay });
    return { savedH, savedShare, ofH, sentence };
  } catch (error) {
    if (error instanceof RiskInputError) throw new Refusal('BadInput', error.message);
    throw error;
  }
};
