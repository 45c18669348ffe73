import type { ClosedDaysShown } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { later, note } from '../steps.js';
import { checkedRegion, closedDaysShown, regionWords } from './steps.js';

/** Chooses whose public holidays close the company's sites; due dates follow in the background. Throws BadInput for a code that is not known. */
export const chooseHolidays: Act<{ region: string | null }, ClosedDaysShown> = async (ctx, input) => {
  const region = checkedRegion(input.region);
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const { holidayRegion: before, ...rest } = company.settings as { holidayRegion?: string };
  if ((before ?? null) === region) return closedDaysShown(ctx);
  await ctx.tx.db.company.update({ where: { id: company.id }, data: { settings: region === null ? rest : { ...rest, holidayRegion: region } } });
  await later(ctx, 'fleet-refresh', {});
  await note(ctx, { act: 'choose-holidays', about: 'closed-days', summary: `Public holidays: ${regionWords(region)}` });
  return closedDaysShown(ctx);
};
