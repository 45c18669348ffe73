import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareZones, type ZoneLists, type ZoneRow } from './index.js';

const rows = (...texts: (string | null)[]): ZoneRow[] => texts.map((text, i) => ({ zone: `${i + 1}`, text }));

describe('[SIG-50] three lists of zones', () => {
  const ours = rows('Hall', 'Kitchen', 'Study', 'Cellar');
  it('agrees whatever case, blanks and leading zeros', () => {
    const station = [{ zone: '001', text: ' HALL' }, { zone: '002', text: 'kitchen' }, { zone: '003', text: 'Study' }, { zone: '004', text: 'cellar ' }];
    expect(compareZones({ panel: ours, ours, station })).toEqual({ agree: 4, differences: [], unread: [], words: '4 zones agree, none differs.' });
  });
  it("two against one: the station's text is to be changed", () => {
    const found = compareZones({ panel: ours, ours, station: rows('Hall', 'Kitchen', 'Garage', 'Cellar') });
    expect(found.differences).toEqual([expect.objectContaining({ zone: '3', kind: 'text', lists: ['station'], corrections: [{ list: 'station', act: 'rename', zone: '3', text: 'Study', words: "Let the station's list read 'Study' for zone 3." }] })]);
    expect(found.words).toBe('3 zones agree, 1 differs.');
  });
  it('our list alone is wrong: one small change of ours', () => {
    expect(compareZones({ panel: rows('Hall', 'Larder'), ours: rows('Hall', 'Kitchen'), station: rows('Hall', 'Larder') }).differences[0]!.corrections).toEqual([expect.objectContaining({ list: 'ours', act: 'rename', text: 'Larder' })]);
  });
  it('no two agree, or only two were read: nothing is proposed', () => {
    expect(compareZones({ panel: rows('A'), ours: rows('B'), station: rows('C') }).differences[0]).toMatchObject({ lists: ['panel', 'ours', 'station'], corrections: [], words: expect.stringContaining('No two agree') });
    const two = compareZones({ panel: null, ours: rows('A'), station: rows('B') });
    expect(two).toMatchObject({ unread: ['panel'], differences: [{ corrections: [] }] });
    expect(two.words).toContain("the control unit was not read: can't tell of it");
    expect(compareZones({ panel: null, ours: rows('A'), station: null }).words).toContain("can't tell");
  });
  it('a blank text is filled from the list that has one', () => {
    expect(compareZones({ panel: rows('Hall'), ours: rows(null), station: rows('Hall') }).differences[0]).toMatchObject({ lists: ['ours'], corrections: [{ list: 'ours', text: 'Hall' }] });
  });
  it.each<[string, ZoneLists, readonly string[], readonly { list: string; act: string }[]]>([
    ['in the panel only: added to both papers', { panel: rows('Hall', 'Shed'), ours: rows('Hall'), station: rows('Hall') }, ['ours', 'station'], [{ list: 'ours', act: 'add' }, { list: 'station', act: 'add' }]],
    ['not at the station', { panel: rows('Hall', 'Shed'), ours: rows('Hall', 'Shed'), station: rows('Hall') }, ['station'], [{ list: 'station', act: 'add' }]],
    ['on our paper only: look first', { panel: rows('Hall'), ours: rows('Hall', 'Shed'), station: rows('Hall') }, ['panel', 'station'], []],
    ['on both papers, not in the panel: nobody programs a panel from paper', { panel: rows('Hall'), ours: rows('Hall', 'Shed'), station: rows('Hall', 'Shed') }, ['panel'], []],
  ])('%s', (_, lists, against, corrections) => {
    const { differences } = compareZones(lists);
    expect(differences).toEqual([expect.objectContaining({ zone: '2', kind: 'missing', lists: against })]);
    expect(differences[0]!.corrections).toEqual(corrections.map((c) => expect.objectContaining(c)));
  });
  it('listed-not-found and found-not-listed are answers', () => {
    const lists = { panel: rows('Hall', 'Shed'), ours: rows('Hall', 'Shed'), station: rows('Hall', 'Shed') };
    expect(compareZones(lists, { '02': 'not-found' }).differences).toEqual([expect.objectContaining({ zone: '2', kind: 'listed-not-found', corrections: [1, 2, 3].map(() => expect.objectContaining({ act: 'remove' })) })]);
    expect(compareZones({ ...lists, ours: rows('Hall') }, { '2': 'found' }).differences).toEqual([expect.objectContaining({ kind: 'found-not-listed', corrections: [expect.objectContaining({ list: 'ours', act: 'add', text: 'Shed' })] })]);
    expect(compareZones({ panel: null, ours: [], station: null }, { '9': 'found' }).differences).toEqual([expect.objectContaining({ zone: '9', kind: 'found-not-listed' })]);
  });
  it('a zone that stands twice in one list is named', () => {
    expect(compareZones({ panel: rows('Hall'), ours: [{ zone: '1', text: 'Hall' }, { zone: '001', text: 'Porch' }], station: rows('Hall') }).differences).toEqual([expect.objectContaining({ kind: 'twice', lists: ['ours'] })]);
  });
  it('property: carrying out the corrections leaves no difference that they were for; order changes nothing', () => {
    let corrected = 0;
    const list = fc.array(fc.record({ zone: fc.integer({ min: 1, max: 6 }).map(String), text: fc.constantFrom('Hall', 'Shed', 'Study') }), { maxLength: 6 }).map((given) => [...new Map(given.map((row) => [row.zone, row])).values()]);
    fc.assert(fc.property(list, list, list, (panel, ours, station) => {
      const lists = { panel, ours, station };
      const found = compareZones(lists);
      expect(compareZones({ panel: panel.toReversed(), ours: ours.toReversed(), station: station.toReversed() })).toEqual(found);
      const mended: Record<'panel' | 'ours' | 'station', ZoneRow[]> = { panel: [...panel], ours: [...ours], station: [...station] };
      for (const { list: name, act, zone, text } of found.differences.flatMap((d) => d.corrections)) {
        corrected += 1;
        mended[name] = mended[name].filter((row) => row.zone !== zone);
        if (act !== 'remove') mended[name].push({ zone, text });
      }
      const left = compareZones(mended).differences.map((d) => d.zone);
      for (const d of found.differences.filter((one) => one.corrections.length > 0 && one.kind === 'text')) expect(left).not.toContain(d.zone);
    }), { seed: 50, numRuns: 400 });
    expect(corrected).toBeGreaterThan(200);
  });
});
