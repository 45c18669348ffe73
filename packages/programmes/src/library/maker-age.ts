import type { Cadence } from '@bellround/recurrence';
import { LIBRARY_CAUTION, type Programme, type Rule } from '../programme.js';
import { MEMORY, rule } from './parts.js';

const age = (years: number): Cadence => ({ kind: 'age', years, early: { months: 6 }, late: { days: 0 } });

const replace = (key: string, title: string, years: number, where: Pick<Rule, 'subject' | 'applies'>, source: Rule['source'], skills: string[] = []): Rule =>
  rule({ key, title, ...where, cadence: age(years), basis: 'manufacture', checkKinds: [where.subject === 'battery' ? 'battery-on-load' : 'end-of-life-date'], skills, mandated: false, minutes: 10, reminderStagesDays: [90, 30], source });

/** Things that are replaced by age, whatever they read. The date marked on the thing always wins. */
export const makerAge: Programme = {
  key: 'maker-age', version: 1, title: 'Replacement by age: smoke heads, carbon monoxide cells, batteries',
  regime: { kind: 'maker', name: 'Makers\' replacement ages', edition: 'the marking on each device wins' },
  systemKinds: ['intrusion', 'fire', 'panic', 'co', 'environmental'], caution: LIBRARY_CAUTION,
  source: 'Typical ages where the maker\'s own is not known; clone the programme and set the maker\'s. An undated device is due at once.', checkedOn: null,
  rules: [
    replace('smoke-head', 'Smoke detector at 10 years', 10, { subject: 'device', applies: { deviceKinds: ['smoke'] } }, { clause: 'as for household smoke alarms, NFPA 72 29.10.1; system detectors follow their maker', provenance: 'SEEN-R for alarms; for system detectors common practice' }, ['fire']),
    replace('co-cell', 'Carbon monoxide cell at 7 years', 7, { subject: 'device', applies: { deviceKinds: ['co'] } }, { clause: 'marking wins, typically 5 to 10 years', provenance: MEMORY }, ['fire']),
    replace('battery-sealed', 'Sealed lead-acid battery at 5 years', 5, { subject: 'battery', applies: { batteryChemistries: ['lead-acid-sealed'] } }, { clause: 'NFPA 72-2007 Table 10.4.4 item 6(d)(1): within 5 years of manufacture', provenance: 'SEEN-R: technical writer quoting the 2007 table; later editions replace or load-check every 3 years' }),
    replace('battery-device', 'Primary lithium cell of a device at 5 years', 5, { subject: 'battery', applies: { batteryChemistries: ['lithium-primary'], batteriesOf: 'device' } }, { clause: 'company practice', provenance: 'company rule' }),
    replace('battery-alkaline', 'Alkaline cell of a device at 1 year', 1, { subject: 'battery', applies: { batteryChemistries: ['alkaline'], batteriesOf: 'device' } }, { clause: 'company practice', provenance: 'company rule' }),
  ],
};
