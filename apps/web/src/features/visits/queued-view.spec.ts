import type { VisitView } from '@bellround/contracts';
import { describe, expect, it } from 'vitest';
import type { OutboxEntry } from '../../shared/outbox.js';
import { metresBetween } from '../../shared/holds.js';
import { blocksOf, isLiveProofOwed, withQueued } from './queued-view.js';
import { momentBefore } from './ui/live-guard.js';

const owed = { duties: [], deficiencies: [], excused: [], contradicted: [], minutes: 0, holdsOpen: [], putBack: [], liveProofMissing: false };
const view = (over: Partial<VisitView> = {}) => ({
  visit: { id: 'v', state: 'published' }, site: { id: 's', name: 'Ostrel bakery', timeZone: 'Europe/Madrid' }, accounts: [{ id: 'a', number: '7001', status: 'live' }], holds: [], putBack: [], checks: [], toDo: [], instruments: [], facts: [],
  definitions: [{ key: 'battery-on-load', disturbs: ['cover open', 'mains off'] }], owed, ...over,
}) as unknown as VisitView;
let seq = 0;
const entry = (route: string, input: object, state: OutboxEntry['state'] = 'waiting', lane = 'v'): OutboxEntry => ({ seq: ++seq, owner: 'a/1', route, input, title: route, lane, at: '2027-03-01T09:00:00.000Z', tries: 0, state, problem: null });
const start = entry('openVisit', { visitId: 'v', id: 'f1' });
const hold = entry('openHold', { visitId: 'v', id: 'h', accountId: 'a', parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T11:00:00.000Z', deviceClockAt: '2027-03-01T09:01:00.000Z' });
const battery = entry('recordCheck', { visitId: 'v', id: 'c', checkKind: 'battery-on-load', subjectId: 'b', outcome: 'judged', readings: { voltsOn: 12 } });
const shutHold = entry('closeHold', { holdId: 'h', id: 'x', confirmedBy: 'Vera', signalsReceived: 4, deviceClockAt: '2027-03-01T10:00:00.000Z' });

describe('a visit with what waits on the phone', () => {
  it('goes on without a network, and says of each entry that the house has not recorded it', () => {
    const shown = withQueued(view(), [start, hold, battery], [], 0);
    expect(shown.view.visit.state).toBe('open');
    expect(shown).toMatchObject({ startWay: 'waiting', waiting: 3, refused: 0, holds: [{ id: 'h', openingWay: 'waiting', untilAt: '2027-03-01T11:00:00.000Z', openedAt: '2027-03-01T09:01:00.000Z' }] });
    expect(shown.putBack.map((item) => [item.what, item.takingOutWay])).toEqual([['cover open', 'waiting'], ['mains off', 'waiting']]);
    expect(blocksOf(shown)).toEqual(['account 7001 is on test: close the hold with the station', 'cover open: put back, or hand over by name', 'mains off: put back, or hand over by name', 'live proof is missing: one real signal after the hold']);
  });

  it('can be ended in order; the end is not accepted before the house says so', () => {
    const entries = [start, hold, battery, entry('putBackByName', { what: 'mains off', handTo: null }), entry('putBackByName', { what: 'cover open', handTo: { to: 'Ada', reason: 'hinge broken' } }), shutHold, entry('liveProof', { id: 'l' })];
    const shown = withQueued(view(), entries, [], 0);
    expect(blocksOf(shown)).toEqual([]);
    expect(shown.putBack.map((item) => [item.putBackAt !== null, item.handedTo, item.way])).toEqual([[false, 'Ada', 'waiting'], [true, null, 'waiting']]);
    const ended = withQueued(view(), [...entries, entry('closeVisit', {})], [], 0);
    expect(ended).toMatchObject({ endWay: 'waiting', view: { visit: { state: 'published' } } });
  });

  it('a refused entry counts for nothing; one set aside or of another visit neither', () => {
    expect(withQueued(view(), [entry('openVisit', {}, 'refused')], [], 0)).toMatchObject({ startWay: 'refused', refused: 1, view: { visit: { state: 'published' } } });
    expect(withQueued(view(), [start, { ...hold, state: 'refused' as const }, { ...shutHold, state: 'aside' as const }], [], 0).holds).toEqual([]);
    expect(withQueued(view(), [entry('openVisit', {}, 'waiting', 'w')], [], 0).waiting).toBe(0);
  });

  it('what the house took counts until the house was asked again', () => {
    const taken = [{ entry: start, at: 1000 }];
    expect(withQueued(view(), [], taken, 999)).toMatchObject({ startWay: 'taken', waiting: 0, view: { visit: { state: 'open' } } });
    expect(withQueued(view(), [], taken, 1001)).toMatchObject({ startWay: null, view: { visit: { state: 'published' } } });
  });

  it('a live proof that a hold follows proves nothing of that hold', () => {
    const proof = entry('liveProof', {});
    expect(isLiveProofOwed(withQueued(view(), [start, hold, shutHold, proof], [], 0))).toBe(false);
    expect(isLiveProofOwed(withQueued(view(), [start, proof, hold, shutHold], [], 0))).toBe(true);
  });
});

describe('a time inside a hold', () => {
  it.each([
    ['10:05', '2027-03-01T09:05:00.000Z'], ['12:09', '2027-03-01T11:09:00.000Z'], ['09:59', null], ['12:10', null], ['25:00', null], ['', null],
  ])('%s is %s', (time, expected) => {
    expect(momentBefore(time, '2027-03-01T09:00:00.000Z', '2027-03-01T11:10:00.000Z', 'Europe/Madrid')).toBe(expected);
  });
});

describe('how far a phone is from its site', () => {
  it('a hundredth of a degree of latitude is 1112 m; half the earth is 20015 km', () => {
    expect(metresBetween({ lat: 41.9, lon: -4.6 }, { lat: 41.91, lon: -4.6 })).toBe(1112);
    expect(metresBetween({ lat: 0, lon: 0 }, { lat: 0, lon: 180 })).toBe(20_015_087);
    expect(metresBetween({ lat: 41.9, lon: -4.6 }, { lat: 41.9, lon: -4.6 })).toBe(0);
  });
});
