import type { RoundTrip } from '@bellround/contracts';
import { describe, expect, it } from 'vitest';
import { columnsOf, guessMapping, mappingOf } from './history-mapping.js';
import { zonesOf } from './ui/zone-lists.js';
import { ROW, zipperOf } from './zipper-geometry.js';

const event = (id: string, at: string, over: object = {}) => ({ id, at, account: '4711', zone: '1', text: 'study', path: null, kind: 'intrusion', code: 'BA', restore: false, ...over });
const step = (checkId: string, at: string, verdict: RoundTrip['steps'][number]['verdict'], over: object = {}) => ({ checkId, subjectId: checkId, subjectName: `Contact ${checkId}`, checkKind: 'detector-actuation', title: 'Detector actuation', at, account: '4711', zone: '1', text: 'study', limitS: 90, verdict, eventId: null as string | null, delayS: null as number | null, twice: false, waitsUntil: null, words: '', ...over });
const trip = (steps: RoundTrip['steps'], events: RoundTrip['events'], unexplained: string[] = []) => zipperOf({ steps, events, unexplained, offsetS: 37 });

describe('the zipper', () => {
  it('a tooth’s slope is its delay against its limit; the shape alone tells the verdict', () => {
    const { teeth } = trip([
      step('a', '2027-03-01T09:00:00Z', 'right', { eventId: 'e1', delayS: 0 }), step('b', '2027-03-01T09:02:00Z', 'right', { eventId: 'e2', delayS: 45 }), step('c', '2027-03-01T09:04:00Z', 'late', { eventId: 'e3', delayS: 140 }),
      step('d', '2027-03-01T09:06:00Z', 'wrong-text', { eventId: 'e4', delayS: 1 }), step('e', '2027-03-01T09:08:00Z', 'not-received'), step('f', '2027-03-01T09:10:00Z', 'pending'), step('g', '2027-03-01T09:12:00Z', 'wrong-zone', { eventId: 'e5', delayS: 2 }),
    ], ['e1', 'e2', 'e3', 'e4', 'e5'].map((id) => event(id, '2027-03-01T09:00:01Z')));
    expect(teeth.map((tooth) => tooth.shape)).toEqual(['joined', 'joined', 'late', 'broken', 'dangling-left', 'waiting', 'crossed']);
    const falls = teeth.map((tooth) => (tooth.right === null ? null : (tooth.right - tooth.left!) / ROW));
    expect(falls[0]).toBe(0);
    expect(falls[1]).toBeCloseTo(0.35, 5);
    expect(falls[2]).toBeGreaterThan(0.7);
    expect(falls.slice(4, 6)).toEqual([null, null]);
  });

  it('what nobody tripped dangles from the right rail, in its place in time on the station’s clock', () => {
    const { teeth, height } = trip([step('a', '2027-03-01T09:00:00Z', 'right', { eventId: 'e1', delayS: 1 }), step('b', '2027-03-01T09:10:00Z', 'not-received')], [event('e1', '2027-03-01T09:00:38Z'), event('x', '2027-03-01T09:05:00Z', { text: 'loading bay' })], ['x']);
    expect(teeth.map((tooth) => [tooth.shape, tooth.left === null, tooth.there])).toEqual([['joined', false, 'study'], ['dangling-right', true, 'loading bay'], ['dangling-left', false, '']]);
    expect(height).toBeGreaterThan(3 * ROW);
  });

  it('is the same whatever the order of the lists', () => {
    const steps = [step('a', '2027-03-01T09:00:00Z', 'right'), step('b', '2027-03-01T09:01:00Z', 'right'), step('c', '2027-03-01T09:01:00Z', 'right')];
    expect(trip(steps.toReversed(), [])).toEqual(trip(steps, []));
  });
});

describe('a pasted history', () => {
  const text = 'Acct;Date received;Event;Zone;Description\n4711;01.03.2027 10:02:00;BA;1;study\n';
  it('proposes the columns by their names and the date by its first row', () => {
    expect(columnsOf(text)).toEqual(['Acct', 'Date received', 'Event', 'Zone', 'Description']);
    expect(mappingOf(guessMapping(text, 'Europe/Madrid', null))).toEqual({ account: 'Acct', receivedAt: 'Date received', code: 'Event', zone: 'Zone', text: 'Description', dateForm: 'dd.mm.yyyy', timeZone: 'Europe/Madrid' });
  });
  it('the station’s kept mapping comes first, where its columns are there', () => {
    expect(guessMapping(text, 'Europe/Madrid', { account: 'Acct', receivedAt: 'Date received', text: 'Zone', dateForm: 'iso', timeZone: 'UTC' })).toMatchObject({ text: 'Zone', dateForm: 'iso', timeZone: 'UTC' });
    expect(guessMapping(text, 'Europe/Madrid', { account: 'Gone', receivedAt: 'Date received', dateForm: 'iso', timeZone: 'UTC' }).account).toBe('Acct');
  });
});

describe('a list of zones', () => {
  it('is read line by line; a line without a number is named', () => {
    expect(zonesOf('001 Front door\n2; Study, left\n\n13\tHall\nporch\n7')).toEqual({ rows: [{ zone: '1', text: 'Front door' }, { zone: '2', text: 'Study, left' }, { zone: '13', text: 'Hall' }, { zone: '7', text: null }], wrong: ['porch'] });
  });
});
