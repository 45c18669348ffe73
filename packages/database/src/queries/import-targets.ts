/** How the staged columns of one kind of file become rows of a table. SQL names only; nothing here comes from a user. */
export interface ImportTarget {
  readonly table: string;
  /** staged text that names another row: joined as `r_<stage>`, written into `into` */
  readonly refs: readonly ImportRef[];
  /** joins the existing row `t` to the staged row `s` */
  readonly match: string;
  /** staged column -> column of the table */
  readonly columns: Readonly<Record<string, string>>;
  /** further columns of an inserted row: SQL over `r`; `$1` is now */
  readonly fixed: Readonly<Record<string, string>>;
  /** written when the file has no such column and the table knows no default */
  readonly missing?: Readonly<Record<string, string>>;
  /** staged columns no two rows of the fleet share -> column; `live` narrows the other rows */
  readonly unique?: Readonly<Record<string, { column: string; live: string }>>;
  /** what names a row is not unique in the table: the column by which a row with two namesakes is held */
  readonly namesakes?: string;
  /** which rows of the table are of this kind; all when not said */
  readonly rows?: string;
}

export interface ImportRef {
  readonly stage: string;
  readonly table: string;
  readonly into: string;
  /** on clause beyond the company; `s` is staged, `r_<stage>` the joined row */
  readonly on: string;
  /** what a row is told when nothing is found; SQL text over `s` */
  readonly problem: string;
  readonly accepted: string;
  /** true: a missing row is no problem, it is made when the file is kept */
  readonly made?: boolean;
}

const byKey = (stage: string, table: string, into: string, file: string): ImportRef => ({
  stage, table, into, on: `r_${stage}.external_key = s.${stage}`, problem: `'there is no ${stage} with this key'`,
  accepted: `the key of a ${stage} of your fleet; import ${file} first`,
});
const SYSTEM = byKey('system', 'system', 'system_id', 'systems');
const CREATED = { created_at: '$1::timestamptz' };

export const IMPORT_TARGETS = {
  clients: { table: 'client', refs: [], match: 't.external_key = s.key', fixed: CREATED,
    columns: { key: 'external_key', name: 'name', email: 'email', phone: 'phone', billing_ref: 'billing_ref', notes: 'notes' } },
  sites: { table: 'site', refs: [byKey('client', 'client', 'client_id', 'clients')], match: 't.external_key = s.key', fixed: CREATED,
    columns: { key: 'external_key', name: 'name', address: 'address', locality: 'locality', postcode: 'postcode', latitude: 'lat', longitude: 'lon', time_zone: 'time_zone',
      occupancy: 'occupancy', sleeping_risk: 'sleeping_risk', access_hours: 'access_hours', noise_hours: 'noise_hours', access_notes: 'access_notes', notes: 'notes', notice_days: 'notice_days', equipment: 'equipment',
      environment: 'environment', taken_over_on: 'taken_over_on', closed_on: 'closed_on' } },
  systems: { table: 'system', refs: [byKey('site', 'site', 'site_id', 'sites')], match: 't.external_key = s.key', fixed: CREATED,
    columns: { key: 'external_key', kind: 'kind', name: 'name', grade: 'grade', standard_edition: 'standard_edition', control_unit: 'control_unit', firmware: 'firmware',
      installed_on: 'installed_on', standby_ma: 'standby_ma', alarm_ma: 'alarm_ma', standby_hours: 'standby_hours', alarm_min: 'alarm_min', retired_on: 'retired_on' } },
  zones: { table: 'zone', refs: [SYSTEM], match: 't.system_id = r_system.id and t.number = s.number', fixed: {},
    columns: { number: 'number', text_ours: 'text_ours', text_panel: 'text_panel', text_station: 'text_station' } },
  devices: { table: 'device', refs: [SYSTEM, { stage: 'zone', table: 'zone', into: 'zone_id', on: 'r_zone.system_id = r_system.id and r_zone.number = s.zone',
      problem: `'the system ' || s.system || ' has no zone of this number'`, accepted: 'a zone number of that system; import zones first' }],
    match: 't.external_key = s.key', fixed: CREATED, unique: { serial: { column: 'serial', live: 'o.removed_on is null' } },
    columns: { key: 'external_key', kind: 'kind', link: 'link', label: 'label', room: 'room', height_m: 'height_m', serial: 'serial', made_on: 'made_on', made_on_state: 'made_on_state',
      installed_on: 'installed_on', first_seen_on: 'first_seen_on', removed_on: 'removed_on', supply_v: 'supply_mv', environment: 'environment', latitude: 'lat', longitude: 'lon' } },
  batteries: { table: 'battery', refs: [SYSTEM, { stage: 'device', table: 'device', into: 'device_id', on: 'r_device.external_key = s.device and r_device.system_id = r_system.id',
      problem: `'the system ' || s.system || ' has no device with this key'`, accepted: 'the key of a device of that system; import devices first' }],
    match: 't.external_key = s.key', fixed: CREATED,
    columns: { key: 'external_key', label: 'label', chemistry: 'chemistry', nominal_v: 'nominal_mv', rated_ah: 'rated_mah', made_on: 'made_on', made_on_state: 'made_on_state',
      fitted_on: 'fitted_on', first_seen_on: 'first_seen_on', temperature_c: 'temperature_c', removed_on: 'removed_on' } },
  paths: { table: 'path', refs: [SYSTEM], match: 't.external_key = s.key', fixed: CREATED,
    columns: { key: 'external_key', rank: 'rank', technology: 'technology', label: 'label', receiver_address: 'receiver_address', category: 'category', supervision_s: 'supervision_s',
      test_interval_min: 'test_interval_min', registered: 'registered', contract_ends_on: 'contract_ends_on', technology_ends_on: 'technology_ends_on', installed_on: 'installed_on', removed_on: 'removed_on' } },
  accounts: { table: 'account', refs: [
      { stage: 'station', table: 'station', into: 'station_id', on: 'r_station.external_key = s.station', problem: `''`, accepted: '', made: true },
      byKey('site', 'site', 'site_id', 'sites')],
    match: 't.station_id = r_station.id and t.number = s.number', fixed: CREATED, missing: { status: `'live'` },
    columns: { number: 'number', status: 'status', valid_from: 'valid_from', valid_to: 'valid_to' } },
  technicians: { table: 'technician', refs: [], match: 't.external_key = s.key', fixed: CREATED, missing: { skills: `'{}'` },
    columns: { key: 'external_key', name: 'name', email: 'email', phone: 'phone', latitude: 'home_lat', longitude: 'home_lon', time_zone: 'time_zone', shifts: 'shifts', skills: 'skills',
      pair_only: 'pair_only', max_overtime_min: 'max_overtime_min', starts_at: 'starts_at', ends_at: 'ends_at', equipment: 'equipment', active_from: 'active_from', active_to: 'active_to' } },
  licences: { table: 'licence', refs: [byKey('technician', 'technician', 'technician_id', 'technicians')], match: 't.technician_id = r_technician.id and t.kind = s.kind', fixed: {},
    columns: { kind: 'kind', number: 'number', body: 'body', valid_from: 'valid_from', valid_to: 'valid_to' } },
  keys: { table: 'site_key', refs: [byKey('site', 'site', 'site_id', 'sites')], match: `t.site_id = r_site.id and t.label = s.label and t.kind <> 'code'`, fixed: {}, missing: { kind: `'key'`, needed: 'true' }, namesakes: 'label', rows: `t.kind <> 'code'`,
    columns: { label: 'label', kind: 'kind', needed: 'needed', collect_at: 'collect_at', latitude: 'collect_lat', longitude: 'collect_lon', collect_hours: 'collect_hours', hand_min: 'hand_min', brought_back: 'brought_back' } },
  permits: { table: 'site_permit', refs: [byKey('site', 'site', 'site_id', 'sites')], match: 't.site_id = r_site.id and t.name = s.name', fixed: { entered_at: '$1::timestamptz' }, namesakes: 'name',
    columns: { name: 'name', from_day: 'from_day', to_day: 'to_day' } },
} as const satisfies Record<string, ImportTarget>;

export type FleetTable = keyof typeof IMPORT_TARGETS;
