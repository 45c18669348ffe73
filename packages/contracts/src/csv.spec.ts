import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvLine, decodeText, neutralised, readCsv, withoutApostrophe } from './csv.js';
import { importGuide } from './import-guide.js';
import { IMPORT_KIND_NAMES, importKind, readCell } from './import-kinds.js';
import { nearestOf, readHeader, readRow, sampleCsv } from './import-rows.js';
import { hoursInWords, readHours } from './weekly-hours.js';

async function* pieces(text: string, at: readonly number[]): AsyncGenerator<string> {
  let from = 0;
  for (const to of [...at].map((one) => one % (text.length + 1)).sort((a, b) => a - b)) { yield text.slice(from, to); from = to; }
  yield text.slice(from);
}
async function read(text: string, at: readonly number[] = []) {
  const records = [];
  for await (const batch of readCsv(pieces(text, at))) records.push(...batch);
  return records;
}
const cells = async (text: string) => (await read(text)).map((one) => one.cells);

describe('reading CSV', () => {
  // RFC 4180 section 2, the examples of its seven points
  it.each([
    ['1. line ends', 'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n', [['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx']]],
    ['2. no last line end', 'aaa,bbb,ccc\r\nzzz,yyy,xxx', [['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx']]],
    ['5. quoted fields', '"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx']]],
    ['6. line break within quotes', '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [['aaa', 'b\r\nbb', 'ccc'], ['zzz', 'yyy', 'xxx']]],
    ['7. doubled quotes', '"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
  ])('%s', async (_, text, expected) => expect(await cells(text)).toEqual(expected));

  it('counts rows as a spreadsheet does, with blank ones', async () => {
    expect((await read('a,b\n\n1,2\n\n\n3,4\n')).map((one) => one.row)).toEqual([1, 3, 6]);
  });

  it('holds a record with text after a closing quote, and reads on', async () => {
    const records = await read('a,b\n"x"y,1\n2,3\n');
    expect(records.map((one) => [one.row, one.fault === null])).toEqual([[1, true], [2, false], [3, true]]);
  });

  it('what is written is read again, wherever the pieces are cut (property)', async () => {
    let quoted = 0;
    const cell = fc.string({ unit: fc.constantFrom('a', ',', '"', '\n', '\r', ' ', ';', 'é', '='), maxLength: 6 });
    await fc.assert(fc.asyncProperty(fc.array(fc.tuple(cell, cell, fc.constantFrom('x', 'yy')), { minLength: 1, maxLength: 6 }), fc.array(fc.nat(200), { maxLength: 5 }), async (rows, cuts) => {
      const text = csvLine(['one', 'two', 'three']) + rows.map((row) => csvLine(row)).join('');
      if (text.includes('""')) quoted += 1;
      expect((await read(text, cuts)).slice(1).map((one) => one.cells)).toEqual(rows);
    }), { numRuns: 300 });
    expect(quoted).toBeGreaterThan(50);
  });

  it('a piece that is nothing but a line end inside quotes closes no file (found by the property, seed -1455280788)', async () => {
    const rows = [[',aa', '\na', 'yy'], ['a"aa', '\r', 'yy']];
    const text = csvLine(['one', 'two', 'three']) + rows.map((row) => csvLine(row)).join('');
    const at = text.indexOf('"\na') + 1;
    expect((await read(text, [at, at + 1])).slice(1).map((one) => one.cells)).toEqual(rows);
  });

  it('a multi-byte character cut in two is one character', async () => {
    const bytes = new TextEncoder().encode('key,name\nC-1,Ærø\n');
    let text = '';
    for await (const piece of decodeText((async function* () { for (const byte of bytes) yield Uint8Array.of(byte); })())) text += piece;
    expect(text).toBe('key,name\nC-1,Ærø\n');
  });
});

describe('formulas', () => {
  it('text that a spreadsheet would run begins with an apostrophe, which is taken away again (property)', () => {
    expect(['=1+1', '+1', '-1', '@a', '\tx', "'=1", 'plain', "'quoted"].map(neutralised)).toEqual(["'=1+1", "'+1", "'-1", "'@a", "'\tx", "''=1", 'plain', "'quoted"]);
    fc.assert(fc.property(fc.string({ unit: fc.constantFrom("'", '=', '+', '-', '@', '\t', 'a'), maxLength: 6 }), (text) => {
      expect(withoutApostrophe(neutralised(text))).toBe(text);
      expect(neutralised(text)).not.toMatch(/^[=+\-@\t\r]/);
    }));
  });
});

describe('columns', () => {
  it('each example is what its own column accepts, and what is shown is read again', () => {
    let read = 0;
    for (const kind of IMPORT_KIND_NAMES) {
      for (const column of importKind(kind).columns) {
        const cell = readCell(column, column.example, '2027-03-01');
        expect([kind, column.name, 'problem' in cell]).toEqual([kind, column.name, false]);
        if (column.example !== '') read += 1;
      }
      const [header, row] = sampleCsv(kind).split('\r\n');
      expect(header!.split(',')).toEqual(importKind(kind).columns.map((one) => one.name));
      expect(row).not.toBe('');
    }
    expect(read).toBeGreaterThan(90);
  });

  it.each([
    ['made_on', '2027-02-30', /no day of the calendar/], ['made_on', '2031-01', /future/], ['made_on', '01/02/2026', /not written/], ['supply_v', '-12', /below zero/],
    ['supply_v', '12,5', /decimal comma/], ['kind', 'motion sensor', /not one of/], ['label', '=1', /formula/], ['label', 'a\u202eb', /hidden/], ['label', 'M\uFFFDller', /UTF-8/], ['zone', '1.5', /whole number/], ['key', '', /is empty/],
  ])('a device whose %s is %j is refused', (name, text, words) => {
    const fault = readCell(importKind('devices').columns.find((one) => one.name === name)!, text, '2027-03-01');
    expect(fault).toMatchObject({ column: name, value: text, problem: expect.stringMatching(words), accepted: expect.stringMatching(/./) });
  });

  it('cells of a row are held against each other', () => {
    const columns = readHeader('devices', ['key', 'system', 'kind', 'link', 'label', 'made_on', 'first_seen_on', 'latitude']);
    const row = readRow('devices', columns, { row: 2, fault: null, cells: ['D', 'Y', 'motion', 'wired', 'x', '2025-01-01', '2024-05-02', '40.1'] }, '2027-03-01');
    expect('faults' in row && row.faults.map((one) => [one.column, one.problem])).toEqual([['longitude', 'is missing while the other coordinate is given'], ['first_seen_on', 'is before made_on 2025-01-01; one of the two is wrong']]);
  });

  it('a slip in a header is told the nearest column, something else is not', () => {
    expect([nearestOf('adress', ['address', 'name']), nearestOf('lat', ['latitude', 'label']), nearestOf('colour', ['key', 'zone'])]).toEqual(['address', 'latitude', null]);
  });

  it('the guide is what the declaration says', () => {
    expect(readFileSync(new URL('../../../docs/guide/import.md', import.meta.url), 'utf8')).toBe(importGuide());
  });
});

describe('weekly hours', () => {
  it.each(['any time', 'never', 'Mon-Fri 08:00-18:00', 'Mon-Fri 08:00-12:00; Mon-Fri 13:00-17:00', 'Mon,Wed-Thu 09:30-11:00; Sat 07:00-12:00'])('%s', (text) => {
    const read = readHours(text, false);
    expect('hours' in read && hoursInWords(read.hours)).toBe(text);
  });
  it.each([['Fri-Mon 08:00-09:00', /no weekdays/], ['Mon 18:00-08:00', /ends before/], ['Mon 08:00-10:00; Mon 09:00-11:00', /overlap/], ['Mon 25:00-26:00', /no time of day/], ['Mon 8-9', /not days and hours/]])('%s is refused', (text, words) => {
    expect(readHours(text, false)).toMatchObject({ problem: expect.stringMatching(words) });
  });
});
