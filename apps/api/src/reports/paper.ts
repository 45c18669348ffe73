import { createRequire } from 'node:module';
import PDFDocument from 'pdfkit';

// Fonts that hold the letters of most scripts, so that a name is never printed as boxes; they lie beside the library.
const require = createRequire(import.meta.url);
const FACE = require.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf');
const BOLD = require.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf');

export type Paper = PDFKit.PDFDocument;
export const MARGIN = 42;
/** Room kept at the foot of a page for its footer. */
const FOOT = 58;
export const INK = '#1a1a1a';
export const QUIET = '#555555';
export const RULE = '#9a9a9a';

/** 'Tue 3 Mar 2026', as on screens. */
export const day = (text: string): string => {
  if (text === '9999-12-31') return 'no end';
  const parts = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' }).format(new Date(`${text}T00:00:00Z`));
  return parts.replaceAll(',', '');
};

/** An empty A4 paper, black on white; `title` is what a reader shows and a screen reader says. */
export function openPaper(title: string, author: string, madeAt: Date): Paper {
  const paper = new PDFDocument({ size: 'A4', margins: { top: MARGIN, bottom: FOOT, left: MARGIN, right: MARGIN }, bufferPages: true, lang: 'en', displayTitle: true, pdfVersion: '1.7', info: { Title: title, Author: author, CreationDate: madeAt, ModDate: madeAt } });
  paper.registerFont('face', FACE).registerFont('bold', BOLD).font('face').fontSize(9).fillColor(INK);
  return paper;
}

export const widthOf = (paper: Paper): number => paper.page.width - 2 * MARGIN;
const floorOf = (paper: Paper): number => paper.page.height - FOOT;

/** Goes to the next page unless `height` points are left on this one. */
export function keepTogether(paper: Paper, height: number): void {
  if (paper.y + height > floorOf(paper)) paper.addPage();
}

export function heading(paper: Paper, words: string): void {
  keepTogether(paper, 60);
  paper.moveDown(0.9).font('bold').fontSize(12).fillColor(INK).text(words, MARGIN, paper.y, { width: widthOf(paper) });
  paper.moveTo(MARGIN, paper.y + 2).lineTo(MARGIN + widthOf(paper), paper.y + 2).lineWidth(0.8).strokeColor(INK).stroke();
  paper.y += 7;
  paper.font('face').fontSize(9);
}

export function paragraph(paper: Paper, words: string, options: { quiet?: boolean; bold?: boolean; size?: number } = {}): void {
  paper.font(options.bold ? 'bold' : 'face').fontSize(options.size ?? 9).fillColor(options.quiet ? QUIET : INK).text(words, MARGIN, paper.y, { width: widthOf(paper) });
  paper.font('face').fontSize(9).fillColor(INK);
}

export interface PaperColumn<Row> { title: string; /** share of the paper's width */ share: number; cell: (row: Row) => string; strong?: (row: Row) => boolean }

/** A ruled table; its head stands again on every page, and a row is never cut unless it alone fills a page. */
export function table<Row>(paper: Paper, columns: readonly PaperColumn<Row>[], rows: readonly Row[]): void {
  const total = widthOf(paper);
  const widths = columns.map((column) => column.share * total - 6);
  const head = (): void => line(columns.map((column) => column.title), () => true, 8);
  const line = (cells: readonly string[], strong: (i: number) => boolean, size: number): void => {
    const top = paper.y;
    let x = MARGIN;
    let bottom = top;
    cells.forEach((cell, i) => {
      paper.font(strong(i) ? 'bold' : 'face').fontSize(size).fillColor(INK).text(cell, x, top, { width: widths[i]! });
      bottom = Math.max(bottom, paper.y);
      x += widths[i]! + 6;
    });
    paper.moveTo(MARGIN, bottom + 2).lineTo(MARGIN + total, bottom + 2).lineWidth(0.4).strokeColor(RULE).stroke();
    paper.x = MARGIN;
    paper.y = bottom + 5;
  };
  const heightOf = (cells: readonly string[]): number => Math.max(...cells.map((cell, i) => paper.font('face').fontSize(8).heightOfString(cell, { width: widths[i]! }))) + 8;
  keepTogether(paper, 40);
  head();
  for (const row of rows) {
    const cells = columns.map((column) => fitting(paper, column.cell(row), widths[columns.indexOf(column)]!));
    if (paper.y + heightOf(cells) > floorOf(paper)) { paper.addPage(); head(); }
    line(cells, (i) => columns[i]!.strong?.(row) ?? false, 8);
  }
  paper.font('face').fontSize(9);
}

/** The longest cell that a page can hold; the rest is told to be left out, never lost in silence. */
function fitting(paper: Paper, text: string, width: number): string {
  const most = floorOf(paper) - MARGIN - 60;
  if (paper.font('face').fontSize(8).heightOfString(text, { width }) <= most) return text;
  let kept = text.slice(0, 2000);
  while (kept.length > 100 && paper.heightOfString(kept, { width }) > most) kept = kept.slice(0, Math.floor(kept.length * 0.8));
  return `${kept} … (cut: too long for a page)`;
}

/** Writes the foot of every page and closes the paper. */
export function closePaper(paper: Paper, foot: string): Promise<Buffer> {
  const chunks: Buffer[] = [];
  const done = new Promise<Buffer>((resolve, reject) => {
    paper.on('data', (chunk: Buffer) => chunks.push(chunk));
    paper.on('end', () => resolve(Buffer.concat(chunks)));
    paper.on('error', reject);
  });
  const { start, count } = paper.bufferedPageRange();
  for (let page = start; page < start + count; page += 1) {
    paper.switchToPage(page);
    // The foot lies below the margin on purpose: without lowering it, writing there would open a further page.
    paper.page.margins.bottom = 0;
    paper.font('face').fontSize(7).fillColor(QUIET).text(foot, MARGIN, paper.page.height - 40, { width: widthOf(paper) - 70, height: 26, ellipsis: true });
    paper.text(`page ${page - start + 1} of ${count}`, paper.page.width - MARGIN - 65, paper.page.height - 40, { width: 65, align: 'right', lineBreak: false });
  }
  paper.end();
  return done;
}
