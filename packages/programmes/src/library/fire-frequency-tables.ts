import { LIBRARY_CAUTION, type Programme, type Rule } from '../programme.js';
import { ANNUAL, MEMORY, MONTHLY, QUARTERLY, SEMIANNUAL, WEEKLY, fireRule as rule } from './parts.js';

const LICENSED: { by: 'licensed'; licences: string[] } = { by: 'licensed', licences: ['fire-alarm'] };
const VISUAL_2013 = 'SEEN-P: NFPA 72-2013 Table 14.3.1, and an extract of the 2019 edition';
const OLDER = 'SEEN-P: older edition, Table 10.4.4';

const visual: Rule[] = [
  rule({ key: 'visual-premises', title: 'Look for changes of building, occupancy and environment', subject: 'system', cadence: ANNUAL, checkKinds: ['visual-inspection'], minutes: 20, source: { clause: 'NFPA 72 Table 14.3.1 row 1', provenance: VISUAL_2013 } }),
  rule({ key: 'visual-control-monitored', title: 'Control equipment, monitored: fuses, lamps, primary supply (visual)', subject: 'system', applies: { monitored: true }, cadence: ANNUAL, checkKinds: ['indicators-keys'], minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1 row 2(a)(1) to (4)', provenance: VISUAL_2013 } }),
  rule({ key: 'visual-trouble-monitored', title: 'Trouble signals of a monitored system', subject: 'system', applies: { monitored: true }, cadence: SEMIANNUAL, checkKinds: ['event-log-review'], remotely: true, minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1 row 2(a)(5)', provenance: VISUAL_2013 } }),
  rule({ key: 'visual-control-unmonitored', title: 'Control equipment, unmonitored (visual)', subject: 'system', applies: { monitored: false }, cadence: WEEKLY, checkKinds: ['indicators-keys'], by: 'occupant', minEvidence: 'C', skills: [], minutes: 3, reminderStagesDays: [1], source: { clause: 'NFPA 72 Table 14.3.1 row 2(b)', provenance: VISUAL_2013 } }),
  rule({ key: 'visual-initiating', title: 'Initiating devices (visual)', subject: 'system', applies: { withDeviceKinds: ['smoke', 'heat', 'duct-smoke', 'call-point'] }, cadence: SEMIANNUAL, checkKinds: ['visual-inspection'], minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1', provenance: 'SEEN-R: open code citing Table 14.3.1; else from memory' } }),
  rule({ key: 'visual-appliances', title: 'Sounders and visual alarms (visual)', subject: 'system', applies: { withDeviceKinds: ['sounder', 'visual-alarm'] }, cadence: SEMIANNUAL, checkKinds: ['visual-inspection'], minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1', provenance: 'SEEN-R: open code citing Table 14.3.1; else from memory' } }),
  rule({ key: 'visual-waterflow', title: 'Waterflow and valve supervisory (visual)', subject: 'system', applies: { withDeviceKinds: ['waterflow', 'valve-supervisory'] }, cadence: QUARTERLY, checkKinds: ['visual-inspection'], minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1', provenance: MEMORY } }),
  rule({ key: 'visual-co', title: 'Carbon monoxide detectors (visual)', subject: 'system', applies: { withDeviceKinds: ['co'] }, cadence: SEMIANNUAL, checkKinds: ['visual-inspection'], minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1', provenance: MEMORY } }),
  rule({ key: 'visual-transmitters', title: 'Off-premises transmitters (visual)', subject: 'system', applies: { monitored: true }, cadence: ANNUAL, checkKinds: ['visual-inspection'], minutes: 3, source: { clause: 'NFPA 72 Table 14.3.1 row 4', provenance: VISUAL_2013 } }),
  rule({ key: 'visual-battery-vented', title: 'Vented lead-acid battery (visual)', subject: 'system', applies: { withBatteryChemistries: ['lead-acid-vented'] }, cadence: MONTHLY, checkKinds: ['visual-inspection'], minutes: 3, source: { clause: 'NFPA 72-2013 Table 14.3.1 row 9', provenance: 'SEEN-P: 2013 edition' } }),
  rule({ key: 'visual-battery-semiannual', title: 'Sealed lead-acid or nickel-cadmium battery (visual)', subject: 'system', applies: { withBatteryChemistries: ['lead-acid-sealed', 'nickel-cadmium'] }, cadence: SEMIANNUAL, checkKinds: ['visual-inspection'], minutes: 3, source: { clause: 'NFPA 72-2013 Table 14.3.1 row 9', provenance: 'SEEN-P: 2013 edition' } }),
  rule({ key: 'visual-battery-dry', title: 'Primary dry cell (visual)', subject: 'system', applies: { withBatteryChemistries: ['alkaline', 'lithium-primary'] }, cadence: MONTHLY, checkKinds: ['visual-inspection'], minutes: 2, source: { clause: 'NFPA 72-2013 Table 14.3.1 row 9', provenance: 'SEEN-P: 2013 edition' } }),
];

const control: Rule[] = [
  rule({ key: 'control-monitored', title: 'Control equipment, monitored: functions, supply, lamps', subject: 'system', applies: { monitored: true }, cadence: ANNUAL, checkKinds: ['mains-supply', 'supply-voltage', 'indicators-keys'], meets: 'all', minutes: 15, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2 (older: Table 10.4.4 row 1)', provenance: OLDER } }),
  rule({ key: 'control-unmonitored', title: 'Control equipment, unmonitored: functions, supply, lamps', subject: 'system', applies: { monitored: false }, cadence: QUARTERLY, checkKinds: ['mains-supply', 'supply-voltage', 'indicators-keys'], meets: 'all', minutes: 15, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2 (older: Table 10.4.4 row 2)', provenance: OLDER } }),
  rule({ key: 'battery-sealed', title: 'Sealed lead-acid battery on load', subject: 'battery', applies: { batteryChemistries: ['lead-acid-sealed'], batteriesOf: 'system' }, cadence: SEMIANNUAL, checkKinds: ['battery-on-load'], minutes: 10, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, sealed lead-acid: load voltage', provenance: 'SEEN-R: trade pages ("load tests semiannually"); exact row from memory' } }),
  rule({ key: 'battery-nickel', title: 'Nickel-cadmium battery and charger', subject: 'battery', applies: { batteryChemistries: ['nickel-cadmium'], batteriesOf: 'system' }, cadence: QUARTERLY, checkKinds: ['battery-on-load'], minutes: 10, ...LICENSED, source: { clause: 'NFPA 72 Table 10.4.4 row 5(b)(1), nickel-cadmium at a central station: charger', provenance: OLDER } }),
  rule({ key: 'battery-vented', title: 'Vented lead-acid battery: load voltage and discharge', subject: 'battery', applies: { batteryChemistries: ['lead-acid-vented'], batteriesOf: 'system' }, cadence: MONTHLY, checkKinds: ['battery-on-load'], minutes: 15, ...LICENSED, source: { clause: 'NFPA 72 Table 10.4.4 row 5(a), at a central station', provenance: OLDER } }),
  rule({ key: 'charger-sealed', title: 'Charger of a sealed lead-acid battery', subject: 'battery', applies: { batteryChemistries: ['lead-acid-sealed'], batteriesOf: 'system' }, cadence: ANNUAL, checkKinds: ['charge-voltage'], minutes: 3, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, sealed lead-acid, editions to 2016: charger', provenance: 'SEEN-R: trade pages; exact row from memory' } }),
  rule({ key: 'charger-vented', title: 'Charger of a vented lead-acid battery', subject: 'battery', applies: { batteryChemistries: ['lead-acid-vented'], batteriesOf: 'system' }, cadence: ANNUAL, checkKinds: ['charge-voltage'], minutes: 3, ...LICENSED, source: { clause: 'NFPA 72 Table 10.4.4 row 5(a), at a central station: charger', provenance: OLDER } }),
  rule({ key: 'transmission', title: 'Off-premises transmission, each path', subject: 'path', cadence: ANNUAL, checkKinds: ['transmission-path'], minutes: 6, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, off-premises transmission equipment', provenance: 'SEEN-R: open code' } }),
];

const initiating: Rule[] = [
  rule({ key: 'smoke-functional', title: 'Smoke detector: smoke into the chamber', subject: 'device', applies: { deviceKinds: ['smoke', 'duct-smoke'] }, cadence: ANNUAL, checkKinds: ['smoke-functional'], minutes: 4, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, smoke detectors (a magnet is not enough)', provenance: 'SEEN-R and SEEN-U: open text' } }),
  rule({
    key: 'smoke-sensitivity', title: 'Smoke detector sensitivity: after 1 year, every 2 years, up to 5 when stable', subject: 'device', applies: { deviceKinds: ['smoke'] },
    cadence: { kind: 'extending', first: { months: 12 }, base: { months: 24 }, extended: { months: 60 }, afterClean: 2, early: { months: 3 }, late: { days: 0 } },
    checkKinds: ['smoke-sensitivity'], minutes: 5, ...LICENSED,
    source: { clause: 'NFPA 72 14.4.5.3 (2010 and 2013 numbering); 14.4.4.3 later, number from memory', provenance: 'SEEN-R: three pages; worked dates installed 2010, tests 2011, 2013, 2015, then 2020. A rise in nuisance alarms calls for a test again. Early edge: company rule' },
  }),
  rule({
    key: 'heat-share', title: 'Restorable heat detectors: a fifth each year, different ones, all within 5 years', subject: 'system', applies: { deviceKinds: ['heat'] },
    cadence: { kind: 'share', period: 'year', numerator: 1, denominator: 5, atLeast: 2 }, checkKinds: ['heat-functional'], minutes: 4, ...LICENSED,
    source: { clause: 'NFPA 72 Table 14.4.3.2, restorable heat detectors: two or more for each circuit each year', provenance: `${MEMORY} (yearly functional test SEEN-U)` },
  }),
  rule({ key: 'call-point', title: 'Manual call point, each one', subject: 'device', applies: { deviceKinds: ['call-point'] }, cadence: ANNUAL, checkKinds: ['call-point'], minutes: 3, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, manual stations', provenance: 'SEEN-R and SEEN-U' } }),
  rule({ key: 'waterflow', title: 'Waterflow device', subject: 'device', applies: { deviceKinds: ['waterflow'] }, cadence: SEMIANNUAL, checkKinds: ['waterflow'], minutes: 10, ...LICENSED, source: { clause: 'NFPA 72-2025 14.4.3.2', provenance: 'SEEN-R: open code citing it; NFPA 25 may want quarterly (SEEN-U)' } }),
  rule({ key: 'valve-supervisory', title: 'Valve supervisory device', subject: 'device', applies: { deviceKinds: ['valve-supervisory'] }, cadence: SEMIANNUAL, checkKinds: ['valve-supervisory'], minutes: 5, ...LICENSED, source: { clause: 'NFPA 72-2025 14.4.3.2', provenance: 'SEEN-R: open code citing it; NFPA 25 may want quarterly (SEEN-U)' } }),
  rule({ key: 'co-functional', title: 'Carbon monoxide detector: gas or the maker\'s method', subject: 'device', applies: { deviceKinds: ['co'] }, cadence: ANNUAL, checkKinds: ['co-functional'], minutes: 5, ...LICENSED, source: { clause: 'NFPA 720, merged into NFPA 72 in 2019', provenance: MEMORY } }),
  rule({ key: 'sounder', title: 'Audible appliance', subject: 'device', applies: { deviceKinds: ['sounder'] }, cadence: ANNUAL, checkKinds: ['sounder-level'], minutes: 3, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, audible appliances', provenance: 'SEEN-R: open code' } }),
  rule({ key: 'visual-alarm', title: 'Visible appliance', subject: 'device', applies: { deviceKinds: ['visual-alarm'] }, cadence: ANNUAL, checkKinds: ['visual-alarm'], minutes: 3, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, visible appliances', provenance: 'SEEN-R: open code' } }),
  rule({ key: 'door-release', title: 'Door release', subject: 'device', applies: { deviceKinds: ['door-release'] }, cadence: ANNUAL, checkKinds: ['door-release'], minutes: 4, ...LICENSED, source: { clause: 'NFPA 72 Table 14.4.3.2, interface equipment', provenance: MEMORY } }),
];

/** Fire detection and alarm by the frequency tables of the North American code. */
export const fireFrequencyTables: Programme = {
  key: 'fire-frequency-tables', version: 1, title: 'Fire detection and alarm: frequency tables of inspection and testing',
  regime: { kind: 'standard', name: 'NFPA 72 chapter 14', edition: '2013 to 2019 tables; adopted edition to be confirmed' },
  systemKinds: ['fire'], caution: LIBRARY_CAUTION, source: 'NFPA 72 Tables 14.3.1 and 14.4.3.2 and their forerunners; the provenance of each row stands beside it', checkedOn: null,
  rules: [...visual, ...control, ...initiating],
};
