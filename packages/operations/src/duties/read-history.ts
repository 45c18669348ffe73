import { REMOTE_KINDS, Refusal, type HistoryRead, type HistoryReadRow } from '@bellround/contracts';
import { governing, type LocalDate } from '@bellround/recurrence';
import { installedAt, subjectsOf } from '../installed.js';
import type { Act } from '../perform.js';
import { appendLeaves, type LedgerEntry } from '../proof/steps.js';
import { refreshSite, windowsOf, type DutyCase } from '../standing/steps.js';
import { later, localDayOf, note, own } from '../steps.js';
import { heardAt, readSubject } from '../station-history.js';
import { sitesOfDuties } from './steps.js';

/**
 * Reads what the station heard of each path, and of each system's mains and log, that owes a remote duty at a site, and records
 * a check of it without a visit, dated on the last day of which that history speaks, its evidence named. Where the history says
 * nothing, ended too long ago or leaves something for a person, nothing is recorded: unknown is never good. Reading the same
 * history again adds nothing. `openOnly`: duties whose window is open and not met, as the night reads. Throws NotFound.
 */
export const readHistory: Act<{ siteId: string; openOnly?: boolean }, HistoryRead> = async (ctx, input) => {
  await ctx.tx.sql('select 1 from site where company_id = current_company() and id = $1::uuid for no key update', [input.siteId]);
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = localDayOf(ctx.now, site.timeZone) as LocalDate;
  const { sites } = await sitesOfDuties(ctx, [site.id]);
  const remote = sites.get(site.id)!.duties.map((duty) => duty.found)
    .filter(({ rule, duty }) => rule.remotely && (duty.validTo === null || duty.validTo >= today)).filter((found) => input.openOnly !== true || isOpen(found, today));
  const owed = new Set(remote.flatMap(({ rule, duty }) => rule.checkKinds.map((kind) => `${kind} ${duty.subjectId}`)));
  const at = await installedAt(ctx, site);
  const heard = await heardAt(ctx, at);
  const rows: HistoryReadRow[] = [];
  const entries: LedgerEntry[] = [];
  for (const subject of subjectsOf(at)) {
    for (const kind of REMOTE_KINDS) {
      if (!owed.has(`${kind} ${subject.id}`)) continue;
      const read = await readSubject(ctx, at, subject, kind, heard);
      rows.push(read.row);
      entries.push(...read.entries);
    }
  }
  const recorded = rows.filter((row) => row.checkId !== null);
  if (recorded.length > 0) {
    await refreshSite(ctx, site.id);
    await later(ctx, 'standing-refresh', { siteId: site.id });
    await note(ctx, { act: 'read-history', about: 'check', siteId: site.id, summary: `Station's history of ${site.name} read: ${recorded.map((row) => `${row.subject} ${row.verdict}`).join(', ')}` });
    await appendLeaves(ctx, entries);
  }
  return { siteId: site.id, rows };
};

/** Whether the duty's window is open on a day, or over, and not met. */
function isOpen(found: DutyCase, today: LocalDate): boolean {
  const window = governing(windowsOf(found.history, today), today);
  return window !== null && window.opens <= today && window.metOn === null;
}
