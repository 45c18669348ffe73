import { pictureKind, provenanceWords, STANDING_WORDS, type ReportCheck, type SiteDuty, type SiteReport } from '@bellround/contracts';
import { closePaper, day, heading, openPaper, paragraph, table } from './paper.js';
import { drawStrip } from './paper-strip.js';

/** A site's report as a paper: cautions first, then strips, duties, deficiencies, checks with readings, and where duties and limits come from. */
export function reportPaper(report: SiteReport, pictures: ReadonlyMap<string, Uint8Array> | null): Promise<Buffer> {
  const { site } = report;
  const paper = openPaper(`Proof of ${site.name}, ${site.asOf}`, report.company, new Date(report.madeAt));
  paragraph(paper, site.name, { bold: true, size: 18 });
  paragraph(paper, `${site.address}; ${site.clientName}`);
  paragraph(paper, `Standing on ${day(site.asOf)}: ${STANDING_WORDS[site.standing].title}. ${STANDING_WORDS[site.standing].means}`, { bold: true });
  paragraph(paper, `Made by ${report.company} on ${day(report.madeAt.slice(0, 10))}. Dates are the site’s local dates (${site.timeZone}).`, { quiet: true });
  paper.moveDown(0.4);
  for (const caution of report.cautions) paragraph(paper, `• ${caution}`, { quiet: true });

  strips(paper, report);
  duties(paper, report);
  deficiencies(paper, report);
  photos(paper, report, pictures);
  checks(paper, report);
  sources(paper, report);
  heading(paper, 'How to check that nothing was altered');
  paragraph(paper, report.ledger.size === 0 ? 'The ledger of this company holds no record yet.'
    : `When this paper was made the company’s ledger held ${report.ledger.size} records; their root is ${report.ledger.rootHash}. A proof bundle of this site shows, record by record, that they are in that ledger unaltered; it is checked without trusting whoever made it.`);
  return closePaper(paper, `${report.company}: ${site.name}, as of ${day(site.asOf)}. Local codes and licensed practice prevail. No certificate of compliance.`);
}

function strips(paper: Parameters<typeof heading>[0], { site }: SiteReport): void {
  heading(paper, `Proof through time, ${day(site.stripFrom)} to ${day(site.stripTo)}`);
  paragraph(paper, 'A basin is a window in which a check was owed; a peg is its proof, with a tail as long as it was late. Brackets: missed. Hatched: can’t be told. A bar above: not owed, with the name of who allowed it. The upright hairline is the day of this paper.', { quiet: true, size: 7.5 });
  paper.moveDown(0.4);
  if (site.duties.length === 0) paragraph(paper, 'No programme is laid on the systems of this site: what is owed can’t be told.');
  for (const systemId of new Set(site.duties.map((duty) => duty.systemId))) {
    const own = site.duties.filter((duty) => duty.systemId === systemId);
    paragraph(paper, own[0]!.systemName, { bold: true });
    drawStrip(paper, own.map((duty) => ({ title: `${duty.title}: ${duty.subject}`, windows: duty.windows, pauses: site.pauses.map(({ from, to, by }) => ({ from, to, by })) })), site.stripFrom, site.stripTo, site.asOf);
  }
}

function duties(paper: Parameters<typeof heading>[0], { site }: SiteReport): void {
  if (site.duties.length === 0) return;
  heading(paper, 'What is owed, and where it stands');
  table<SiteDuty>(paper, [
    { title: 'Duty', share: 0.34, cell: (duty) => `${duty.title}: ${duty.subject}` },
    { title: 'Regime', share: 0.2, cell: (duty) => `${duty.regime}${duty.mandated ? '' : ' (not mandated)'}` },
    { title: 'Standing', share: 0.12, cell: (duty) => STANDING_WORDS[duty.standing].title, strong: (duty) => duty.standing !== 'proven' && duty.standing !== 'not-owed' },
    { title: 'Window that governs', share: 0.34, cell: (duty) => (duty.now ? `${day(duty.now.opens)} to ${day(duty.now.lapses)}. ${duty.now.why}` : 'none') },
  ], site.duties);
}

function deficiencies(paper: Parameters<typeof heading>[0], report: SiteReport): void {
  heading(paper, 'Deficiencies');
  if (report.deficiencies.length === 0) return paragraph(paper, `None was open between ${day(report.from)} and ${day(report.to)}.`);
  return table(paper, [
    { title: 'Deficiency', share: 0.4, cell: (row) => `${row.title}: ${row.subject}${row.interim ? `. Meanwhile: ${row.interim.words} (${row.interim.by}), ${row.interim.over ? 'ended' : 'until'} ${moment(row.interim.untilAt, report.site.timeZone)}` : ''}`, strong: (row) => row.closedOn === null },
    { title: 'Severity', share: 0.14, cell: (row) => row.severity },
    { title: 'Raised', share: 0.15, cell: (row) => day(row.raisedOn) },
    { title: 'Due', share: 0.15, cell: (row) => day(row.dueOn) },
    { title: 'Now', share: 0.16, cell: (row) => (row.closedOn ? `closed ${day(row.closedOn)}` : row.state === 'accepted' && row.acceptedUntil ? `accepted until ${day(row.acceptedUntil)}` : 'open') },
  ], report.deficiencies);
}

const moment = (at: string, timeZone: string): string => new Intl.DateTimeFormat('en-GB', { timeZone, day: 'numeric', month: 'short', year: 'numeric', hour: '2-digit', minute: '2-digit' }).format(new Date(at));

const PHOTO_WIDTH = 240;
const PHOTO_HEIGHT = 180;

function photos(paper: Parameters<typeof heading>[0], report: SiteReport, pictures: ReadonlyMap<string, Uint8Array> | null): void {
  const shown = report.deficiencies.flatMap((row) => row.photos.map((photo) => ({ ...photo, of: `${row.title}: ${row.subject}` })));
  if (shown.length === 0) return;
  heading(paper, 'Pictures');
  if (pictures === null) return paragraph(paper, `${shown.length} picture${shown.length === 1 ? '' : 's'} of these deficiencies ${shown.length === 1 ? 'is' : 'are'} kept by ${report.company}; ask there to see ${shown.length === 1 ? 'it' : 'them'}.`);
  for (const photo of shown) {
    const content = pictures.get(photo.attachmentId);
    if (paper.y + PHOTO_HEIGHT + 40 > paper.page.height - paper.page.margins.bottom) paper.addPage();
    paragraph(paper, `${photo.of}, ${moment(photo.at, report.site.timeZone)}${photo.words ? `. ${photo.words}` : ''}`, { bold: true });
    const why = content === undefined ? 'It is not in the store any more, or this paper has too many pictures; see the app.' : draw(paper, content);
    if (why !== null) paragraph(paper, why);
    paper.moveDown(0.4);
  }
}

/** Draws a picture, or says why a paper cannot show it. */
function draw(paper: Parameters<typeof heading>[0], content: Uint8Array): string | null {
  if (pictureKind(content) === 'image/webp') return 'A paper cannot show a WebP picture; see it in the app.';
  try {
    const top = paper.y;
    paper.image(Buffer.from(content), { fit: [PHOTO_WIDTH, PHOTO_HEIGHT] });
    paper.y = Math.max(paper.y, top + 20);
    return null;
  } catch (error) {
    return `This picture cannot be shown on paper (${(error as Error).message}); see it in the app.`;
  }
}

const readingWords = (check: ReportCheck): string => check.readings.map((one) => `${one.label} ${one.value}${one.unit ? ` ${one.unit}` : ''}${one.instrument ? ` (${one.instrument}${one.reliable === false ? ', calibration ended: not to be relied on' : ''})` : ''}`).join('; ');

function checks(paper: Parameters<typeof heading>[0], report: SiteReport): void {
  heading(paper, `Checks and readings, ${day(report.from)} to ${day(report.to)}`);
  if (report.checks.length === 0) return paragraph(paper, 'No check is recorded in this stretch.');
  if (report.checksTotal > report.checks.length) paragraph(paper, `The newest ${report.checks.length} of ${report.checksTotal} checks are listed; ask for fewer months to see the others.`, { bold: true });
  return table(paper, [
    { title: 'Done', share: 0.12, cell: (check) => `${day(check.performedOn)}${check.by ? `, ${check.by}` : ''}` },
    { title: 'Check', share: 0.22, cell: (check) => `${check.title}: ${check.subject}` },
    { title: 'Verdict', share: 0.12, cell: (check) => `${check.verdict}${check.corrected ? ' (corrected by a further check)' : ''}`, strong: (check) => check.verdict !== 'pass' },
    { title: 'Readings', share: 0.26, cell: (check) => readingWords(check) || 'none asked' },
    { title: 'Why, and the limit’s source', share: 0.28, cell: (check) => [check.reason, check.margin ? `Margin ${check.margin}.` : '', check.limitSource ? `Limit: ${check.limitSource}.` : '', `Evidence ${check.evidence}.`].filter(Boolean).map((part) => provenanceWords(part)).join(' ') },
  ], report.checks);
}

function sources(paper: Parameters<typeof heading>[0], report: SiteReport): void {
  heading(paper, 'Where the duties come from');
  if (report.sources.length === 0) return paragraph(paper, 'No programme is laid here.');
  return table(paper, [
    { title: 'Regime', share: 0.2, cell: (row) => row.regime }, { title: 'Duty', share: 0.26, cell: (row) => row.title },
    { title: 'Clause', share: 0.27, cell: (row) => row.clause }, { title: 'How that is known', share: 0.27, cell: (row) => provenanceWords(row.provenance) },
  ], report.sources);
}
