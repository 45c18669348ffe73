import { amount, cleanCell, choice, day, email, key, list, madeOn, timeOfDay, timeZone, words, yesNo, type CellType, type StagedType } from './cells.js';
import { ACCOUNT_STATES, BATTERY_CHEMISTRIES, DEVICE_KINDS, DEVICE_LINKS, ENVIRONMENTS, OCCUPANCIES, PATH_TECHNOLOGIES, SUBJECT_KINDS, SYSTEM_KINDS, VERDICTS } from './fleet-words.js';
import { partsCell } from './parts-cell.js';
import { readingsCell } from './readings-cell.js';
import { weeklyHours } from './weekly-hours.js';

/** One column of an import file, declared once: it validates the upload and writes the sample, the page, the export and the guide. */
export interface ImportColumn {
  readonly name: string;
  /** an empty cell is refused */
  readonly required: boolean;
  readonly means: string;
  readonly example: string;
  /** what an empty cell stands for, one per stage, in Postgres's text form; null = can't tell */
  readonly whenEmpty: readonly (string | null)[];
  /** no two rows of a file, and no two rows of the fleet, share this value */
  readonly unique: boolean;
  readonly cell: CellType;
}

export interface RowFault { readonly column: string; readonly value: string; readonly problem: string; readonly accepted: string }

export interface ImportKindSpec {
  readonly title: string;
  /** one row of this kind is */
  readonly one: string;
  readonly means: string;
  readonly columns: readonly ImportColumn[];
  /** the columns that together name a row */
  readonly keys: readonly string[];
  /** what two cells of one row say against each other; `of` gives a staged value or null */
  readonly against?: (of: (stage: string) => string | null) => RowFault[];
}

interface Options { readonly empty?: readonly (string | null)[]; readonly unique?: boolean }
const column = (required: boolean) => (name: string, cell: CellType, example: string, means: string, options: Options = {}): ImportColumn =>
  ({ name, required, means, example, cell, whenEmpty: options.empty ?? cell.stages.map(() => null), unique: options.unique ?? false });
const must = column(true);
const may = column(false);

const ordered = (of: (stage: string) => string | null, earlier: string, later: string): RowFault[] => {
  const [first, second] = [of(earlier), of(later)];
  return first !== null && second !== null && first > second
    ? [{ column: later, value: second, problem: `is before ${earlier} ${first}; one of the two is wrong`, accepted: `a day on or after ${earlier}` }] : [];
};
const bothOrNone = (of: (stage: string) => string | null): RowFault[] => ((of('latitude') === null) === (of('longitude') === null) ? []
  : [{ column: of('latitude') === null ? 'latitude' : 'longitude', value: '', problem: 'is missing while the other coordinate is given', accepted: 'both coordinates, or neither' }]);

const neverHanded = (of: (stage: string) => string | null): RowFault[] => (of('collect_hours') !== '[]' ? []
  : [{ column: 'collect_hours', value: 'never', problem: 'is never, so nobody would ever get this key', accepted: 'weekdays and hours; empty for at any time' }]);
const endWithoutBeginning = (of: (stage: string) => string | null): RowFault[] => (of('to_day') === null || of('from_day') !== null ? []
  : [{ column: 'from_day', value: '', problem: 'is empty while the permit has a last day', accepted: 'the first day on which it counts' }]);

/** Where a round begins or ends. */
const ROUND_ENDS = ['home', 'depot'];
const latitude = amount({ min: -90, max: 90, unit: 'degrees (north is positive)' });
const longitude = amount({ min: -180, max: 180, unit: 'degrees (east is positive)' });

const evidenceGrade: CellType = { ...choice(['A', 'B', 'C', 'D']), read: (text) => (/^[A-D]$/i.test(text) ? { values: [text.toUpperCase()] } : { problem: 'is not one of the known grades' }) };

export const IMPORT_KINDS = {
  clients: { title: 'Clients', one: 'client', means: 'Who the company serves and bills.', keys: ['key'], columns: [
    must('key', key('client'), 'C-1001', 'your own key of the client'),
    must('name', words(200), 'Ostrel school board', 'name'),
    may('email', email(), 'office@ostrel.example', 'address for mails'),
    may('phone', words(40), '+34 900 000 001', 'telephone'),
    may('billing_ref', words(80), 'B-77', 'reference in your accounts'),
    may('notes', words(2000), '', 'anything to remember'),
  ] },
  sites: { title: 'Sites', one: 'site', means: 'Places with a monitored system.', keys: ['key'], columns: [
    must('key', key('site'), 'S-2001', 'your own key of the site'),
    must('client', key('client'), 'C-1001', 'key of the client; import clients first'),
    must('name', words(200), 'Ostrel primary school', 'name'),
    must('address', words(300), '1 Mill Lane', 'street and number'),
    may('locality', words(120), 'Ostrel', 'town'),
    may('postcode', words(20), '28001', 'postcode'),
    may('latitude', latitude, '40.4', 'position; rounds cannot be timed without it'),
    may('longitude', longitude, '-3.7', 'position'),
    must('time_zone', timeZone(), 'Europe/Madrid', 'zone in which the site\'s days are counted'),
    must('occupancy', choice(OCCUPANCIES), 'school', 'what the place is'),
    may('sleeping_risk', yesNo(), 'no', 'whether people sleep there', { empty: ['f'] }),
    must('access_hours', weeklyHours(), 'Mon-Fri 08:00-18:00', 'when work may be done, site\'s local time'),
    may('noise_hours', weeklyHours(), 'Mon-Fri 16:00-18:00', 'when sounders may sound; empty: whenever access is given'),
    may('access_notes', words(2000), 'Report at the front desk', 'how to get in; never a code'),
    may('notice_days', amount({ min: 0, max: 90, unit: 'days', whole: true }), '3', 'days before a visit by which the site must be told', { empty: ['0'] }),
    may('equipment', list('equipment'), 'long ladder', 'what every visit needs on the van, as vans name it', { empty: ['{}'] }),
    may('notes', words(2000), '', 'anything to remember'),
    may('environment', choice(ENVIRONMENTS), 'mild', 'what its parts live in; harsh: outdoors, damp, dusty, hot, cold or vibrating; empty: not known, counted as harsh'),
    may('taken_over_on', day(), '2024-01-15', 'day from which your company answers for it; empty: can\'t tell'),
    may('closed_on', day(), '', 'day on which it ended'),
  ], against: (of) => [...bothOrNone(of), ...ordered(of, 'taken_over_on', 'closed_on')] },
  systems: { title: 'Systems', one: 'system', means: 'The systems of a site, each with its control unit.', keys: ['key'], columns: [
    must('key', key('system'), 'Y-3001', 'your own key of the system'),
    must('site', key('site'), 'S-2001', 'key of the site; import sites first'),
    must('kind', choice(SYSTEM_KINDS), 'intrusion', 'what it protects against'),
    must('name', words(200), 'Intrusion, ground floor', 'name'),
    may('grade', words(40), '2', 'grade by the standard it was designed to'),
    may('standard_edition', words(120), '', 'standard and edition it was designed to'),
    may('control_unit', words(120), '8-zone panel', 'control unit'),
    may('firmware', words(80), '', 'its firmware'),
    may('installed_on', day({ past: true }), '2022-05-10', 'day of commissioning'),
    may('standby_ma', amount({ min: 0, max: 1_000_000, unit: 'mA', whole: true }), '350', 'current at rest'),
    may('alarm_ma', amount({ min: 0, max: 1_000_000, unit: 'mA', whole: true }), '1200', 'current in alarm'),
    may('standby_hours', amount({ min: 0, max: 1000, unit: 'hours' }), '12', 'hours the battery must carry it at rest'),
    may('alarm_min', amount({ min: 0, max: 1440, unit: 'minutes' }), '5', 'minutes of alarm after that'),
    may('retired_on', day(), '', 'day on which it ended'),
  ], against: (of) => ordered(of, 'installed_on', 'retired_on') },
  zones: { title: 'Zones', one: 'zone', means: 'The zones of a system with their three texts.', keys: ['system', 'number'], columns: [
    must('system', key('system'), 'Y-3001', 'key of the system; import systems first'),
    must('number', amount({ min: 0, max: 99_999, unit: '', whole: true }), '1', 'zone number at the control unit'),
    must('text_ours', words(120), 'Front door', 'what your records call it'),
    may('text_panel', words(120), 'FRONT DOOR', 'what the keypad shows'),
    may('text_station', words(120), 'FRONT DOOR', 'what the supervising station shows'),
  ] },
  devices: { title: 'Devices', one: 'device', means: 'Detectors, sounders, keypads and whatever else is checked.', keys: ['key'], columns: [
    must('key', key('device'), 'D-4001', 'your own key of the device'),
    must('system', key('system'), 'Y-3001', 'key of the system; import systems first'),
    may('zone', amount({ min: 0, max: 99_999, unit: '', whole: true }), '1', 'zone number; the system must have it, so import zones first'),
    must('kind', choice(DEVICE_KINDS), 'contact', 'what it is'),
    must('link', choice(DEVICE_LINKS), 'wireless', 'how it is linked'),
    must('label', words(200), 'Front door contact', 'what people call it'),
    may('room', words(120), 'Hall', 'where it is'),
    may('height_m', amount({ min: 0, max: 100, unit: 'm' }), '2.1', 'height above the floor'),
    may('serial', words(80), 'SN-000123', 'serial number; no two devices share one', { unique: true }),
    may('made_on', madeOn(), '2022-03', 'date of make', { empty: [null, 'not-asked'] }),
    may('installed_on', day({ past: true }), '2022-05-10', 'day it was fitted'),
    may('first_seen_on', day({ past: true }), '', 'first day your company saw it'),
    may('removed_on', day({ past: true }), '', 'day it was taken away'),
    may('supply_v', amount({ min: 0, max: 1000, unit: 'V', factor: 1000 }), '', 'supply voltage by its label'),
    may('environment', choice(ENVIRONMENTS), '', 'where it differs from its site; empty: as the site'),
    may('latitude', latitude, '', 'its own position on a large site'),
    may('longitude', longitude, '', 'its own position on a large site'),
  ], against: (of) => [...bothOrNone(of), ...ordered(of, 'made_on', 'first_seen_on'), ...ordered(of, 'made_on', 'installed_on'), ...ordered(of, 'installed_on', 'removed_on')] },
  batteries: { title: 'Batteries', one: 'battery', means: 'Standby batteries, and the batteries of wireless devices that are kept one by one.', keys: ['key'], columns: [
    must('key', key('battery'), 'B-5001', 'your own key of the battery'),
    must('system', key('system'), 'Y-3001', 'key of the system; import systems first'),
    may('device', key('device'), '', 'key of the device it feeds; empty: the system\'s standby battery'),
    must('label', words(200), 'Standby battery', 'what people call it'),
    must('chemistry', choice(BATTERY_CHEMISTRIES), 'lead-acid-sealed', 'chemistry'),
    may('nominal_v', amount({ min: 0, max: 1000, unit: 'V', factor: 1000 }), '12', 'nominal voltage'),
    may('rated_ah', amount({ min: 0, max: 2000, unit: 'Ah', factor: 1000 }), '7', 'rated capacity'),
    may('made_on', madeOn(), '2023-11', 'date of make', { empty: [null, 'not-asked'] }),
    may('fitted_on', day({ past: true }), '2024-01-15', 'day it was fitted'),
    may('first_seen_on', day({ past: true }), '', 'first day your company saw it'),
    may('temperature_c', amount({ min: -40, max: 90, unit: '°C' }), '22', 'usual temperature where it stands'),
    may('removed_on', day({ past: true }), '', 'day it was taken away'),
  ], against: (of) => [...ordered(of, 'made_on', 'first_seen_on'), ...ordered(of, 'made_on', 'fitted_on'), ...ordered(of, 'fitted_on', 'removed_on')] },
  paths: { title: 'Transmission paths', one: 'path', means: 'The ways by which a system reaches the supervising station.', keys: ['key'], columns: [
    must('key', key('path'), 'P-6001', 'your own key of the path'),
    must('system', key('system'), 'Y-3001', 'key of the system; import systems first'),
    must('rank', amount({ min: 1, max: 9, unit: '', whole: true }), '1', '1 = tried first, 2 = second, ...'),
    must('technology', choice(PATH_TECHNOLOGIES), 'cellular', 'by what it goes'),
    must('label', words(200), 'Cellular', 'what people call it'),
    may('receiver_address', words(120), '', 'receiver at the station'),
    may('category', words(10), 'DP2', 'category of EN 50136-1, such as SP2 or DP3'),
    may('supervision_s', amount({ min: 1, max: 31_536_000, unit: 's', whole: true }), '1800', 'within how many seconds a loss is known'),
    may('test_interval_min', amount({ min: 1, max: 527_040, unit: 'minutes', whole: true }), '1440', 'how often it sends a test signal'),
    may('registered', yesNo(), 'yes', 'whether the station knows it', { empty: ['t'] }),
    may('contract_ends_on', day(), '', 'last day of its contract'),
    may('technology_ends_on', day(), '', 'day on which its network is switched off'),
    may('installed_on', day({ past: true }), '2022-05-10', 'day it was fitted'),
    may('removed_on', day({ past: true }), '', 'day it was taken away'),
  ], against: (of) => ordered(of, 'installed_on', 'removed_on') },
  accounts: { title: 'Station accounts', one: 'account', means: 'Accounts at a supervising station as your schedule knows them. What the station itself says is its account list.', keys: ['station', 'number'], columns: [
    must('station', key('station'), 'W-1', 'your own key of the station; a new one is added'),
    may('station_name', words(200), 'Stonepier Watch Room', 'name of the station'),
    must('number', words(40), '700001', 'account number at the station'),
    must('site', key('site'), 'S-2001', 'key of the site; import sites first'),
    may('systems', list('keys of systems of that site'), 'Y-3001', 'the systems it carries'),
    may('status', choice(ACCOUNT_STATES), 'live', 'state by your records', { empty: ['live'] }),
    may('valid_from', day(), '2022-05-10', 'first day'),
    may('valid_to', day(), '', 'last day'),
  ], against: (of) => ordered(of, 'valid_from', 'valid_to') },
  technicians: { title: 'Technicians', one: 'technician', means: 'Who goes out, from where, when and with which skills.', keys: ['key'], columns: [
    must('key', key('technician'), 'T-7001', 'your own key of the technician'),
    must('name', words(120), 'Tess Amaru', 'name'),
    may('email', email(), 'tess@quillmere.example', 'address for mails'),
    may('phone', words(40), '+34 900 000 002', 'telephone'),
    may('latitude', latitude, '40.42', 'home base: where a round begins and ends'),
    may('longitude', longitude, '-3.69', 'home base'),
    must('time_zone', timeZone(), 'Europe/Madrid', 'zone of the shifts'),
    must('shifts', weeklyHours(true), 'Mon-Fri 08:00-16:30 break 30', 'weekly shifts'),
    may('skills', list('skills'), 'fire; intrusion', 'skills, as duties name them', { empty: ['{}'] }),
    may('pair_only', yesNo(), 'no', 'works only beside another', { empty: ['f'] }),
    may('max_overtime_min', amount({ min: 0, max: 480, unit: 'minutes', whole: true }), '60', 'most overtime in a day', { empty: ['60'] }),
    may('starts_at', choice(ROUND_ENDS), 'home', 'where rounds begin', { empty: ['home'] }),
    may('ends_at', choice(ROUND_ENDS), 'home', 'where rounds end', { empty: ['home'] }),
    may('equipment', list('equipment'), 'long ladder', 'always on the van, as sites and visits name it', { empty: ['{}'] }),
    may('van_parts', partsCell(), '7 Ah battery=3; contact=10', 'parts on the van as counted; parts that are not named are not on it'),
    may('active_from', day(), '2023-02-01', 'first day'),
    may('active_to', day(), '', 'last day'),
  ], against: (of) => [...bothOrNone(of), ...ordered(of, 'active_from', 'active_to')] },
  licences: { title: 'Licences', one: 'licence', means: 'Licences of technicians with their last valid day.', keys: ['technician', 'kind'], columns: [
    must('technician', key('technician'), 'T-7001', 'key of the technician; import technicians first'),
    must('kind', words(80), 'fire', 'what it allows, as duties name it'),
    may('number', words(80), 'L-55', 'its number'),
    may('body', words(120), 'Regional register', 'who issued it'),
    may('valid_from', day(), '2024-03-13', 'first valid day'),
    may('valid_to', day(), '2029-03-12', 'last valid day, inclusive; empty: can\'t tell, which never counts as valid'),
  ], against: (of) => ordered(of, 'valid_from', 'valid_to') },
  keys: { title: 'Keys', one: 'key', means: 'Keys without which nobody gets in: where they are collected on the way, and whether they are brought back.', keys: ['site', 'label'], columns: [
    must('site', key('site'), 'S-2001', 'key of the site; import sites first'),
    must('label', words(120), 'Front door', 'which key; never a code'),
    may('kind', choice(['key', 'fob']), 'key', 'what it is', { empty: ['key'] }),
    may('needed', yesNo(), 'yes', 'whether a visit needs it; empty: yes', { empty: ['t'] }),
    may('collect_at', words(200), 'Caretaker, 4 Mill Lane', 'where it is collected; empty: nowhere on record'),
    may('latitude', latitude, '40.401', 'position of that place; a detour is planned only with it'),
    may('longitude', longitude, '-3.702', 'position of that place'),
    may('collect_hours', weeklyHours(), 'Mon-Fri 08:00-14:00', 'when it is handed out and taken back; empty: at any time'),
    may('hand_min', amount({ min: 0, max: 120, unit: 'minutes', whole: true }), '10', 'how long collecting takes', { empty: ['10'] }),
    may('brought_back', yesNo(), 'yes', 'whether it goes back the same day; empty: yes', { empty: ['t'] }),
  ], against: (of) => [...bothOrNone(of), ...neverHanded(of)] },
  permits: { title: 'Permits', one: 'permit', means: 'Permits without which nobody may work at a site, and the days on which they count.', keys: ['site', 'name'], columns: [
    must('site', key('site'), 'S-2001', 'key of the site; import sites first'),
    must('name', words(120), 'Work at height', 'what is permitted'),
    may('from_day', day(), '2024-03-01', 'first day; empty: asked for and not granted yet, so no visit is planned'),
    may('to_day', day(), '', 'last day, inclusive; empty: without end'),
  ], against: (of) => [...ordered(of, 'from_day', 'to_day'), ...endWithoutBeginning(of)] },
  checks: { title: 'Past checks', one: 'check', means: 'Checks done before, kept as inherited records. They are never altered: a correction is a further check that names the one it corrects.', keys: ['key'], columns: [
    must('key', key('check'), 'K-8001', 'your own key of the record'),
    must('subject_kind', choice(SUBJECT_KINDS), 'battery', 'what was checked'),
    must('subject', key('subject'), 'B-5001', 'key of what was checked'),
    may('system', key('system'), '', 'key of the system; needed when the subject is a site'),
    must('check_kind', words(80, 'a key of the check catalogue'), 'battery-on-load', 'kind of check'),
    must('done_on', day({ past: true }), '2026-03-04', 'day it was done, site\'s local date'),
    may('done_at', timeOfDay(), '10:30', 'time of day, site\'s local time; empty: noon'),
    must('verdict', choice(VERDICTS), 'pass', 'verdict'),
    may('reason', words(500), '', 'why, in words; needed for fail, excused and not-done'),
    may('excuse_code', words(80), '', 'why the failure is excused; needed for excused'),
    may('technician', key('technician'), '', 'key of who did it'),
    may('evidence', evidenceGrade, 'D', 'A station-confirmed with instrument, B technician on site, C self-declared, D inherited (assumed when empty)', { empty: ['D'] }),
    may('readings', readingsCell(), 'voltsOff=13.1; voltsOn=12.1; minutes=15', 'readings, by the keys of the check catalogue'),
    may('notes', words(2000), '', 'anything to remember'),
    may('corrects', key('check'), '', 'key of the record this one corrects'),
  ], against: (of) => checkFaults(of) },
  'station-list': { title: 'Station\'s account list', one: 'line', means: 'The supervising station\'s own list of accounts: the honest denominator.', keys: ['number'], columns: listColumns('account number at the station') },
  'invoice-list': { title: 'Invoice list', one: 'line', means: 'The accounts your company invoices for monitoring.', keys: ['number'], columns: listColumns('account number the invoice is for') },
} as const satisfies Record<string, ImportKindSpec>;

export type ImportKind = keyof typeof IMPORT_KINDS;
export const IMPORT_KIND_NAMES = Object.keys(IMPORT_KINDS) as ImportKind[];
export const LIST_KINDS: readonly ImportKind[] = ['station-list', 'invoice-list'];

/** The kind's declaration, seen by its general shape. */
export function importKind(kind: ImportKind): ImportKindSpec {
  return IMPORT_KINDS[kind];
}

function listColumns(number: string): ImportColumn[] {
  return [
    must('number', words(40), '700001', number),
    must('name', words(200), 'Ostrel primary school', 'name on the list'),
    may('address', words(300), '1 Mill Lane, Ostrel', 'address on the list'),
    may('status', choice(ACCOUNT_STATES), 'live', 'state by the list', { empty: ['live'] }),
  ];
}

function checkFaults(of: (stage: string) => string | null): RowFault[] {
  const faults: RowFault[] = [];
  const verdict = of('verdict');
  if (['fail', 'excused', 'not-done'].includes(verdict ?? '') && of('reason') === null) faults.push({ column: 'reason', value: '', problem: `is empty for a verdict of ${verdict}`, accepted: 'why, in words' });
  if (verdict === 'excused' && of('excuse_code') === null) faults.push({ column: 'excuse_code', value: '', problem: 'is empty for an excused check', accepted: 'the code of the recorded reason' });
  if (of('subject_kind') === 'site' && of('system') === null) faults.push({ column: 'system', value: '', problem: 'is empty for a check of a site', accepted: 'the key of the system under which it was done' });
  return faults;
}

export interface StagedColumn { readonly name: string; readonly type: StagedType }

/** The columns in which a file with these headers is staged. */
export function stagedColumns(columns: readonly ImportColumn[]): StagedColumn[] {
  return columns.flatMap((one) => one.cell.stages.map((stage) => ({ name: `${one.name}${stage.suffix}`, type: stage.type })));
}

/** Reads one cell of `one`: staged values, or the fault. */
export function readCell(one: ImportColumn, raw: string, today: string): { values: readonly (string | null)[] } | RowFault {
  const clean = cleanCell(raw);
  const fault = (problem: string): RowFault => ({ column: one.name, value: raw.slice(0, 200), problem, accepted: one.cell.accepted });
  if ('problem' in clean) return fault(clean.problem);
  if (clean.text === '') return one.required ? fault('is empty') : { values: one.whenEmpty };
  const read = one.cell.read(clean.text, today);
  return 'problem' in read ? fault(read.problem) : read;
}
