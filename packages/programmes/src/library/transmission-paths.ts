import type { Cadence } from '@bellround/recurrence';
import { LIBRARY_CAUTION, type Programme, type Rule } from '../programme.js';
import { COMPANY, MEMORY, rule } from './parts.js';

/** How often the station's history of a path is read, and how often a person proves the path on site. */
const YEARLY: Cadence = { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 13 } };

/** Reporting times of EN 50136-1:2012 in words, primary / alternative path. */
const REPORTING: Record<string, { words: string; provenance: string }> = {
  SP1: { words: 'reported within 32 days', provenance: MEMORY },
  SP2: { words: 'reported within 25 hours', provenance: MEMORY },
  SP3: { words: 'reported within 30 minutes', provenance: MEMORY },
  SP4: { words: 'reported within 3 minutes', provenance: MEMORY },
  SP5: { words: 'reported within 90 seconds', provenance: MEMORY },
  SP6: { words: 'reported within 20 seconds', provenance: 'SEEN-R: open code naming 20 s for SP6' },
  DP1: { words: 'primary within 25 hours, alternative within 50 hours', provenance: MEMORY },
  DP2: { words: 'primary within 30 minutes, alternative within 25 hours (30 minutes once the primary is down)', provenance: MEMORY },
  DP3: { words: 'primary within 3 minutes, alternative within 25 hours (3 minutes once the primary is down)', provenance: MEMORY },
  DP4: { words: 'primary within 90 seconds, alternative within 5 hours (90 seconds once the primary is down)', provenance: '90 s SEEN-R: open code; the rest from memory' },
};

const historyRead = (category: string): Rule => {
  const it = REPORTING[category] as { words: string; provenance: string };
  // A path that may be silent for a month can only be judged once a month; the others are read every week.
  const cadence: Cadence = { kind: 'once-per', period: category === 'SP1' ? 'month' : 'week', minGapDays: 0 };
  return rule({ key: `history-${category.toLowerCase()}`, title: `Path of category ${category}: loss ${it.words}; the station's history shows no longer gap`, subject: 'path', applies: { pathCategories: [category] }, cadence, checkKinds: ['periodic-signal'], basis: 'none', remotely: true, mandated: false, minutes: 0, reminderStagesDays: [2], source: { clause: `EN 50136-1:2012, reporting time of ${category}`, provenance: `${it.provenance}. How often the history is read: company rule` } });
};

/** Transmission paths by the categories of EN 50136-1:2012. */
export const transmissionPaths: Programme = {
  key: 'transmission-paths', version: 1, title: 'Transmission paths: reporting time by category, each path proven yearly',
  regime: { kind: 'standard', name: 'EN 50136-1', edition: '2012' },
  systemKinds: ['intrusion', 'fire', 'panic', 'co', 'environmental'], caution: LIBRARY_CAUTION,
  source: 'EN 50136-1:2012 Table 1 for the categories (SEEN-P); the times by row as noted. Transmission-time and availability classes were not found and are left out.', checkedOn: null,
  rules: [
    ...Object.keys(REPORTING).map(historyRead),
    rule({ key: 'path-proven', title: 'Each path heard at the station by itself', subject: 'path', cadence: YEARLY, checkKinds: ['transmission-path'], minutes: 6, mandated: false, source: { clause: 'company practice', provenance: COMPANY } }),
    rule({ key: 'changeover', title: 'One path cut, the other carries, and the loss is reported', subject: 'system', applies: { minPaths: 2 }, cadence: YEARLY, checkKinds: ['path-changeover'], minutes: 10, mandated: false, source: { clause: 'EN 50136-1:2012, dual path categories', provenance: `${MEMORY}. Yearly: company rule` } }),
  ],
};

/** Communicators of fire systems by the North American code. */
export const fireCommunicators: Programme = {
  key: 'fire-communicators', version: 1, title: 'Fire communicators: periodic signal and changeover',
  regime: { kind: 'standard', name: 'NFPA 72 chapter 26', edition: '2013 and later; adopted edition to be confirmed' },
  systemKinds: ['fire'], caution: LIBRARY_CAUTION,
  source: 'NFPA 72 26.6.3: single technology known failed within 60 minutes, two or more technologies within 6 hours each (SEEN-R, 6 h for other technologies from memory). Digital communicator: every 6 hours from the 2013 edition, 24 hours before (SEEN-R, two trade articles).', checkedOn: null,
  rules: [
    rule({ key: 'history', title: 'Periodic signal: the station\'s history shows no longer gap than the code allows', subject: 'path', cadence: { kind: 'once-per', period: 'week', minGapDays: 0 }, basis: 'none', checkKinds: ['periodic-signal'], remotely: true, minutes: 0, reminderStagesDays: [2], mandated: false, source: { clause: 'NFPA 72 26.6.3', provenance: 'SEEN-R: as above. Reading the history weekly: company rule' } }),
    rule({ key: 'changeover', title: 'One path cut, the other carries; trouble at the premises within 200 s', subject: 'system', applies: { minPaths: 2 }, cadence: YEARLY, checkKinds: ['path-changeover'], skills: ['fire'], minutes: 10, source: { clause: 'NFPA 72 26.6.4', provenance: 'SEEN-R: open rule list citing 26.6.4. Yearly: company rule' } }),
  ],
};
