import { Refusal } from './problems.js';

/** One record of a CSV file. `row` counts records as a spreadsheet does: the header is row 1. */
export interface CsvRecord {
  readonly row: number;
  readonly cells: readonly string[];
  /** what is wrong with the record's quoting, or null */
  readonly fault: string | null;
}

/** A cell longer than this is a quote that never closes, not a value. */
const LONGEST_CELL = 100_000;
const LONGEST_HEADER = 20_000;
const DELIMITERS = [',', ';', '\t'] as const;

// The runtime's own decoder, present in browsers and Node alike; this package's library settings name neither.
declare const TextDecoder: new (label: string) => { decode(bytes?: Uint8Array, options?: { stream: boolean }): string };

/**
 * Text of an uploaded file: UTF-8 with or without a byte order mark, or UTF-16 with one. Bytes that are not UTF-8 become
 * U+FFFD, which the cell readers hold with a reason, so that the file's other rows are kept.
 * @throws Refusal ImportRefused for a workbook or archive, and for UTF-16 without its mark.
 */
export async function* decodeText(bytes: AsyncIterable<Uint8Array>): AsyncGenerator<string> {
  let decoder: { decode(bytes?: Uint8Array, options?: { stream: boolean }): string } | null = null;
  for await (const chunk of bytes) {
    if (chunk.length === 0) continue;
    decoder ??= new TextDecoder(encodingOf(chunk));
    const text = decoder.decode(chunk, { stream: true });
    if (text.includes('\0')) throw new Refusal('ImportRefused', 'The file holds NUL characters, as a UTF-16 file without its mark or a picture would. Save it as "CSV UTF-8".');
    yield text;
  }
  const rest = decoder?.decode();
  if (rest) yield rest;
}

function encodingOf(head: Uint8Array): string {
  if (head[0] === 0x50 && head[1] === 0x4b && head[2] === 3) throw new Refusal('ImportRefused', 'This is a spreadsheet workbook or an archive, not a CSV file. Open it and save the sheet as "CSV UTF-8".');
  if (head[0] === 0xff && head[1] === 0xfe) return 'utf-16le';
  if (head[0] === 0xfe && head[1] === 0xff) return 'utf-16be';
  return 'utf-8';
}

/**
 * Reads CSV (RFC 4180) as it arrives, in batches, holding no more than one piece of the file. The delimiter is the one of
 * comma, semicolon and tab that the header uses most; a line ends in LF, CRLF or CR; blank lines are counted and left out.
 * @throws Refusal ImportRefused when a quote never closes.
 */
export async function* readCsv(text: AsyncIterable<string>): AsyncGenerator<CsvRecord[]> {
  let reader: ((piece: string, isLast?: boolean) => CsvRecord[]) | null = null;
  let head = '';
  for await (const piece of text) {
    if (reader) {
      yield reader(piece);
      continue;
    }
    head += piece;
    if (!/[\r\n]/.test(head) && head.length < LONGEST_HEADER) continue;
    reader = recordReader(delimiterOf(head));
    yield reader(head.replace(/^\uFEFF/, ''));
  }
  reader ??= recordReader(delimiterOf(head));
  // A last line without its line end is a record too.
  const tail = reader(`${head.length > 0 && !/[\r\n]/.test(head) ? head.replace(/^\uFEFF/, '') : ''}\n`, true);
  if (tail.length > 0) yield tail;
}

function delimiterOf(head: string): string {
  const line = head.split(/[\r\n]/, 1)[0]!;
  const counts = DELIMITERS.map((delimiter) => line.split(delimiter).length);
  return DELIMITERS[counts.indexOf(Math.max(...counts))]!;
}

const QUOTE = 34, LF = 10, CR = 13;
type State = 'start' | 'plain' | 'quoted' | 'quote-in-quoted';

/** A reader that remembers where it stopped in the middle of a record. */
function recordReader(delimiter: string): (piece: string, isLast?: boolean) => CsvRecord[] {
  const comma = delimiter.charCodeAt(0);
  let state: State = 'start', cell = '', cells: string[] = [], row = 1, fault: string | null = null, afterCr = false;

  return (piece, isLast = false) => {
    const records: CsvRecord[] = [];
    let from = 0;
    const take = (to: number) => { if (to > from) cell += piece.slice(from, to); };
    const endCell = () => { cells.push(cell); cell = ''; state = 'start'; };
    const endRecord = () => {
      endCell();
      if (cells.length > 1 || cells[0] !== '') records.push({ row, cells, fault });
      cells = []; fault = null; row += 1;
    };
    for (let at = 0; at < piece.length; at++) {
      const code = piece.charCodeAt(at);
      if (afterCr) {
        afterCr = false;
        if (code === LF) { from = at + 1; continue; } // the second half of CRLF
      }
      if (state === 'quoted') {
        if (code === QUOTE) { take(at); from = at + 1; state = 'quote-in-quoted'; }
        else if (cell.length + at - from > LONGEST_CELL) throw new Refusal('ImportRefused', `A quotation mark opened in row ${row} never closes. Close it, or double it ("") where it is part of the text.`);
        continue;
      }
      if (state === 'quote-in-quoted') {
        if (code === QUOTE) { cell += '"'; from = at + 1; state = 'quoted'; continue; }
        if (code !== comma && code !== LF && code !== CR) { fault = 'text stands after a closing quotation mark; double the marks that are part of the text ("")'; state = 'plain'; from = at; continue; }
      }
      if (code === QUOTE && state === 'start') { state = 'quoted'; from = at + 1; }
      else if (code === comma) { take(at); endCell(); from = at + 1; }
      else if (code === LF || code === CR) { take(at); endRecord(); from = at + 1; afterCr = code === CR; }
      else if (state === 'start') state = 'plain';
    }
    take(piece.length);
    // The line end that readCsv adds closes the file; a quote still open there never closes.
    if (state === 'quoted' && isLast) throw new Refusal('ImportRefused', `A quotation mark opened in row ${row} never closes. Close it, or double it ("") where it is part of the text.`);
    return records;
  };
}

/** First characters that make a spreadsheet run a cell as a formula (OWASP, CSV injection). */
const FORMULA = /^[=+\-@\t\r]/;

/** A text cell that no spreadsheet runs: an apostrophe before = + - @ tab or CR. The import takes it away again. */
export function neutralised(text: string): string {
  return FORMULA.test(text) || /^'[=+\-@\t\r']/.test(text) ? `'${text}` : text;
}

/** The text that `neutralised` was given. */
export function withoutApostrophe(text: string): string {
  return /^'[=+\-@\t\r']/.test(text) ? text.slice(1) : text;
}

/** One CSV line (RFC 4180, CRLF). Cells are written as they are: neutralise text ones first. */
export function csvLine(cells: readonly string[]): string {
  return `${cells.map((cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',')}\r\n`;
}
