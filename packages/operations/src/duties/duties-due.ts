import { Refusal } from '@bellround/contracts';
import { dueWindows, type DueWindow } from '@bellround/database';
import { addDays, type LocalDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { whyOf, type KeptReason } from '../standing/steps.js';
import { localDayOf, own } from '../steps.js';
import { CAUTION } from './steps.js';

const MOST_ENTRIES = 5000;

/** A window to come with its reason in words. */
export type DueShown = Omit<DueWindow, keyof KeptReason> & { readonly why: string };
export interface DutiesDue { readonly title: string; readonly caution: string; readonly today: string; readonly rows: readonly DueShown[] }

/** Windows still to be met whose due day comes within some days, of one site or of the company; for a calendar file. */
export const dutiesDue: Act<{ siteId?: string | undefined; from?: string | undefined; days: number }, DutiesDue> = async (ctx, input) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const site = input.siteId === undefined ? null : await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (input.siteId !== undefined && !site) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = (input.from ?? localDayOf(ctx.now, site?.timeZone ?? company.timeZone)) as LocalDate;
  const rows = await dueWindows(ctx.tx, site?.id ?? null, today, addDays(today, input.days), MOST_ENTRIES);
  const total = rows[0]?.total ?? 0;
  if (total > MOST_ENTRIES) throw new Refusal('BadInput', `${total} duties are due in these days; a calendar file holds ${MOST_ENTRIES} at most. Ask for fewer days, or for one site.`, { errors: [{ path: 'days', message: `gives ${total} entries; at most ${MOST_ENTRIES}` }] });
  return { title: site?.name ?? company.name, caution: CAUTION, today, rows: rows.map(({ basisOn, unknown, unmetLapsed, lastProof, said, cadence, ...row }) => ({ ...row, why: whyOf({ ...row, basisOn, unknown, unmetLapsed, lastProof, said, cadence }) })) };
};
