import { describe, expect, it } from 'vitest';
import { mapHistory, mappingProblems, type HistoryMapping } from './index.js';

const mapping: HistoryMapping = { account: 'Acct', receivedAt: 'Date', time: 'Time', code: 'Code', zone: 'Zone', path: 'Line', dateForm: 'dd.mm.yyyy', timeZone: 'Europe/Madrid' };
const row = (over: Record<string, string> = {}) => ({ Acct: '4711', Date: '27.03.2027', Time: '02:30', Code: 'E602', Zone: '', Line: '1', ...over });

describe('[SIG-30] station history', () => {
  it.each([
    ['27.03.2027', '02:30', '2027-03-27T01:30:00.000Z'], ['29.03.2027', '02:30', '2027-03-29T00:30:00.000Z'], ['28.03.2027', '03:30', '2027-03-28T01:30:00.000Z'],
    ['30.10.2027', '02:30', '2027-10-30T00:30:00.000Z'], ['31.10.2027', '02:30', '2027-10-31T00:30:00.000Z'], ['1.11.2027', '02:30:15', '2027-11-01T01:30:15.000Z'],
  ])('%s %s in Madrid is %s', (Date, Time, receivedAt) => {
    expect(mapHistory([row({ Date, Time })], mapping)).toMatchObject({ events: [{ receivedAt, periodic: true, kind: 'periodic', code: '602' }], problems: [] });
  });
  it.each([
    [{ Date: '28.03.2027', Time: '02:30' }, 'exists in Europe/Madrid'], [{ Date: '30.02.2027' }, 'Not a time'], [{ Date: '31.12.9999', Time: '23:59' }, 'Not a time'], [{ Date: '01.01.0000' }, 'Not a time'], [{ Date: '31.12.1969' }, 'Not a time'], [{ Date: '2027-03-27' }, 'Not a time'], [{ Time: '24:10' }, 'Not a time'], [{ Acct: '' }, 'empty'], [{ Acct: '=1+1' }, 'letters, digits'],
  ])('%j is held with row, field and value', (over, words) => {
    const { events, problems } = mapHistory([row(), row(over)], mapping);
    expect(events).toHaveLength(1);
    expect(problems).toEqual([{ row: 2, field: expect.any(String), value: expect.any(String), words: expect.stringContaining(words) }]);
  });
  it('offsets and Z are honoured in ISO times', () => {
    const iso = { ...mapping, time: undefined, dateForm: 'iso' } as unknown as HistoryMapping;
    const instants = ['2027-03-27T02:30:00+01:00', '2027-03-27T01:30:00Z', '2027-03-27 02:30'].map((Date) => mapHistory([row({ Date })], iso).events[0]!.receivedAt);
    expect(new Set(instants)).toEqual(new Set(['2027-03-27T01:30:00.000Z']));
  });
  it('repeated rows count once, and the same file again gives the same keys in any order', () => {
    const rows = [row(), row({ Time: '04:00' }), row()];
    const once = mapHistory(rows, mapping);
    expect(once).toMatchObject({ repeated: 1 });
    expect(mapHistory(rows.toReversed(), mapping).events).toEqual(once.events);
  });
  it('restores: by letter, by prefix and by a column', () => {
    const restored = (over: Record<string, string>, more: Partial<HistoryMapping> = {}) => mapHistory([row(over)], { ...mapping, ...more }).events[0]!.qualifier;
    expect([restored({ Code: 'R301' }), restored({ Code: 'AR' }), restored({ Code: '301', Line: 'Restore' }, { qualifier: 'Line' }), restored({ Code: '301' })]).toEqual(['restore', 'restore', 'restore', 'new']);
  });
  it('a mapping that does not fit the file is told before any row is read', () => {
    expect(mappingProblems(mapping, ['Acct', 'Date', 'Time', 'Code', 'Zone'])).toEqual([expect.stringContaining("'Line'")]);
    expect(mappingProblems({ ...mapping, timeZone: 'Mars/North' }, Object.keys(row()))).toEqual([expect.stringContaining('Mars/North')]);
    expect(mappingProblems(mapping, Object.keys(row()))).toEqual([]);
  });
});
