import { routes } from '@bellround/contracts';
import { describe, expect, it } from 'vitest';
import { clockFault, forgetContact, hoursWithoutContact, isContactTooOld, noteAnswer, OFFLINE_HOURS, offsetOf, serverNow } from './contact.js';
import { packKey } from './day-pack.js';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

describe('contact with the server', () => {
  it('tells a clock that is wrong by an hour, and leaves one alone that is a slow answer late', () => {
    const sent = Date.parse('2027-03-01T10:00:00Z');
    const wrong = offsetOf('Mon, 01 Mar 2027 09:00:00 GMT', sent, sent + 400)!;
    expect(Math.abs(wrong + HOUR)).toBeLessThan(1000);
    expect(clockFault(wrong)).toBe('1 h ahead of the server');
    expect(clockFault(65 * MINUTE)).toBe('1 h 5 min behind the server');
    expect(clockFault(offsetOf('Mon, 01 Mar 2027 10:00:00 GMT', sent - 20_000, sent + 3000))).toBeNull();
    expect(offsetOf(null, sent, sent)).toBeNull();
    expect(offsetOf('yesterday', sent, sent)).toBeNull();
  });

  it('shuts after a day without an answer, not before, and a clock set back does not lengthen the day', () => {
    const at = Date.parse('2027-03-01T12:00:00Z');
    forgetContact();
    expect(isContactTooOld(at)).toBe(false);
    noteAnswer(new Date(at).toUTCString(), at, true, at);
    expect(isContactTooOld(at + OFFLINE_HOURS * HOUR - MINUTE)).toBe(false);
    expect(hoursWithoutContact(at + 23 * HOUR)).toBeGreaterThan(22);
    // The clock was seen at 23 h 59 min; setting it back by ten hours gains nothing.
    expect(hoursWithoutContact(at + 13 * HOUR)).toBeGreaterThan(23.9);
    expect(isContactTooOld(at + OFFLINE_HOURS * HOUR)).toBe(true);
    noteAnswer(new Date(at).toUTCString(), at + 30 * HOUR, true, at + 30 * HOUR);
    expect(isContactTooOld(at + 31 * HOUR)).toBe(false);
  });

  it('a refusal is contact but no access: it does not renew the day', () => {
    const at = Date.parse('2027-04-01T12:00:00Z');
    forgetContact();
    noteAnswer(null, at, true, at);
    noteAnswer(null, at + 20 * HOUR, false, at + 20 * HOUR);
    expect(isContactTooOld(at + 24 * HOUR)).toBe(true);
  });

  it('reads the house’s clock through its own', () => {
    const at = Date.parse('2027-05-01T12:00:00Z');
    noteAnswer(new Date(at - HOUR).toUTCString(), at, true, at);
    expect(Math.abs(serverNow(at).getTime() - (at - HOUR))).toBeLessThan(1000);
  });
});

describe('the day pack', () => {
  it('keeps a technician’s own round, its visits and the holds, each under their own name, and nothing else', () => {
    expect(packKey('a/1', routes.myRound, { days: 7 })).toBe('a/1 myRound mine');
    expect(packKey('a/1', routes.myRound, {})).toBe('a/1 myRound mine');
    expect(packKey('a/1', routes.showVisit, { visitId: 'v' })).toBe('a/1 showVisit v');
    expect(packKey('a/1', routes.showEvidence, { visitId: 'v' })).toBe('a/1 showEvidence v');
    expect(packKey('a/2', routes.showVisit, { visitId: 'v' })).not.toBe(packKey('a/1', routes.showVisit, { visitId: 'v' }));
    expect(packKey('a/1', routes.myRound, { technicianId: 'another' })).toBeNull();
    expect(packKey('a/1', routes.listUsers, {})).toBeNull();
    expect(packKey('a/1', routes.listSites, {})).toBeNull();
    expect(packKey(null, routes.showVisit, { visitId: 'v' })).toBeNull();
  });
});
