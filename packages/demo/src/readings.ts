import type { ReadingValue } from '@bellround/acceptance';
import type { Draw } from './random.js';

/** What is true of a subject on a day, hidden from everybody in the story. */
export interface Condition {
  /** battery: share of rated capacity, percent */
  capacityPct?: number;
  ageYears?: number;
  /** radio margin, dB */
  marginDb?: number;
  /** does not do its job */
  dead?: boolean;
}

const good = (...keys: string[]): Record<string, ReadingValue> => Object.fromEntries(keys.map((key) => [key, true]));
const tenth = (value: number) => Math.round(value * 10) / 10;
const hundredth = (value: number) => Math.round(value * 100) / 100;

/** Readings as an honest technician would write them for a subject in this condition. */
export function readingsOf(draw: Draw, checkKind: string, is: Condition): Record<string, ReadingValue> {
  const works = !is.dead;
  switch (checkKind) {
    case 'mains-supply': return { present: works, sourceMarked: true };
    case 'supply-voltage': return { volts: hundredth(works ? draw.bell(13.7, 0.06) : draw.bell(11.3, 0.2)), loadState: 'quiet' };
    case 'battery-on-load': {
      const capacity = is.capacityPct ?? 95;
      return { voltsOff: hundredth(12.2 + 0.7 * (capacity / 100)), voltsOn: hundredth(capacity > 70 ? 11.6 + 0.8 * (capacity / 100) : 10.2 + capacity / 100), loadA: 0.7, minutes: 15, temperatureC: tenth(draw.bell(23, 2)), capacityPct: Math.round(capacity) };
    }
    case 'enclosure-tamper': return { reported: works, restored: works };
    case 'set-unset': return { set: works, unset: works };
    case 'indicators-keys': return good('lamps', 'keys', 'buzzer', 'clock');
    case 'transmission-path': return works ? { receivedAtStation: true, roundTripS: draw.int(3, 22), ...(is.marginDb === undefined ? {} : { levelKind: 'dbm', level: Math.round(-100 + is.marginDb), operatorNetwork: 'Network A' }) } : { receivedAtStation: false };
    case 'path-changeover': return { primaryLossReported: works, primaryReportS: draw.int(20, 70), primaryRestored: true, alternateLossReported: works, alternateReportS: draw.int(40, 150), alternateRestored: true };
    case 'periodic-signal': return { hoursSinceLast: tenth(works ? draw.between(1, 23) : draw.between(60, 200)), longestGapH: works ? 24 : 200 };
    case 'receiver-self-test': return { answer: works ? 'answers' : 'silent' };
    case 'detector-actuation': return { ...good('rightZone', 'rightText'), seenAtPanel: works, secondsToShow: draw.int(1, 3), receivedAtStation: works };
    case 'hold-up': return { receivedAtStation: works, rightText: true, reset: true };
    case 'sounder-level': return { levelDb: Math.round(works ? draw.bell(98, 2) : draw.bell(68, 2)), distanceM: 3, ambientDb: Math.round(draw.bell(46, 4)) };
    case 'wireless-margin': return { levelDbm: Math.round(-95 + (is.marginDb ?? 22)), noiseDbm: -95 };
    case 'acoustic-response': return { detected: works, method: 'simulator', distanceM: tenth(draw.between(2, 6)), receivedAtStation: works };
    case 'smoke-functional': case 'heat-functional': case 'co-functional': case 'call-point':
      return { alarmAtPanel: works, rightText: true, receivedAtStation: works, secondsToShow: draw.int(4, 9), ...(checkKind === 'heat-functional' ? { restorable: true } : {}), ...(checkKind === 'call-point' ? { reset: true } : {}) };
    case 'event-log-review': return { reviewed: true, falseAlarms: draw.chance(0.1) ? 1 : 0, unexplained: 0 };
    case 'visual-inspection': return good('noChanges', 'noObstruction', 'noDamage');
    case 'user-confidence': return good('canOperate', 'knowsWhomToCall');
    case 'as-fitted-record': return good('present', 'agrees');
    case 'end-of-life-date': return { endSignal: false };
    default: return {};
  }
}
