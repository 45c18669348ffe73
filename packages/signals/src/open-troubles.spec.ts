import { describe, expect, it } from 'vitest';
import { alarmsAmong, type HeardEvent, mainsAmong, openTroubles } from './index.js';

const heard = (at: string, code: string, kind: HeardEvent['kind'], over: Partial<HeardEvent> = {}): HeardEvent => ({ at: `2027-03-01T${at}:00Z`, code, kind, restore: false, zone: null, ...over });

describe('what a station\'s history leaves open', () => {
  it('[SIG-36] a trouble is closed by the restore of its own words and zone, in either form of code, in whatever order they are told', () => {
    const events = [
      heard('01:00', 'E301', 'power'), heard('02:00', 'R301', 'power'), heard('03:00', 'AT', 'power'), heard('04:00', 'AR', 'power'),
      heard('05:00', '381', 'supervision', { zone: '4' }), heard('06:00', '381', 'supervision', { zone: '5' }), heard('07:00', '381', 'supervision', { zone: '4', restore: true }),
      heard('08:00', '144', 'tamper', { zone: '2' }), heard('09:00', '602', 'periodic'),
    ];
    const left = [{ words: 'radio sensor lost', zone: '5', since: '2027-03-01T06:00:00Z' }, { words: 'sensor tamper', zone: '2', since: '2027-03-01T08:00:00Z' }];
    expect(openTroubles(events)).toEqual(left);
    expect(openTroubles(events.toReversed())).toEqual(left);
  });
  it('[SIG-36] one told again is open since the first time; what was restored first and told after is open', () => {
    expect(openTroubles([heard('01:00', 'R302', 'power'), heard('02:00', 'E302', 'power'), heard('03:00', 'E302', 'power')])).toEqual([{ words: 'low battery', zone: null, since: '2027-03-01T02:00:00Z' }]);
    expect(openTroubles([heard('01:00', 'XI', 'device-fault'), heard('02:00', '601', 'proof'), heard('03:00', '999', null)])).toEqual([]);
  });
  it('[SIG-36] alarms are named, their restores and tampers are not among them', () => {
    expect(alarmsAmong([heard('03:00', 'BA', 'intrusion'), heard('01:00', '110', 'fire'), heard('02:00', 'BR', 'intrusion'), heard('04:00', '137', 'tamper')]).map((event) => event.code)).toEqual(['110', 'BA']);
  });
  it('[SIG-37] mains: lost, back, or never told', () => {
    expect(mainsAmong([heard('01:00', '602', 'periodic')])).toEqual({ state: 'never-told', at: null });
    expect(mainsAmong([heard('02:00', 'AT', 'power'), heard('01:00', 'AR', 'power')])).toEqual({ state: 'lost', at: '2027-03-01T02:00:00Z' });
    expect(mainsAmong([heard('02:00', '301', 'power', { restore: true }), heard('01:00', '301', 'power'), heard('03:00', '302', 'power')])).toEqual({ state: 'back', at: '2027-03-01T02:00:00Z' });
  });
});
