import type { Bulk } from '../scoped.js';
import { IMPORT_TARGETS, type FleetTable, type ImportTarget } from './import-targets.js';

/** What keeping the file would do. */
export interface ImportCounts { rowsNew: number; rowsChanged: number; rowsSame: number }

/**
 * Joins the staged rows to the fleet as `resolved`, and holds what does not fit: unknown references, values the fleet has
 * already, positions that look swapped. Held rows are left out of `resolved` by dropHeld.
 */
export async function resolveFleetRows(bulk: Bulk, kind: FleetTable, present: ReadonlySet<string>): Promise<void> {
  const target: ImportTarget = IMPORT_TARGETS[kind];
  const refs = target.refs.filter((ref) => present.has(ref.stage));
  const accounts = kind === 'accounts' && present.has('systems');
  const vans = kind === 'technicians' && present.has('van_parts');
  await bulk.sql(`create temp table resolved on commit drop as
    select s.*, ${refs.map((ref) => `r_${ref.stage}.id as ${ref.into}, `).join('')}t.id as existing_id,
      t.id is not null and ((${written(target, present).map(([column]) => `t.${column}`).join(', ')}, null) is distinct from (${written(target, present).map(([, from]) => from).join(', ')}, null)
        ${accounts ? `or not (coalesce(l.keys, '{}') @> coalesce(s.systems, '{}') and coalesce(s.systems, '{}') @> coalesce(l.keys, '{}'))` : ''}${vans ? `or coalesce(v.parts, '{}') is distinct from coalesce(s.van_parts, '{}')` : ''}) as differs
    from staged s
    ${refs.map((ref) => `left join ${ref.table} r_${ref.stage} on r_${ref.stage}.company_id = current_company() and ${ref.on}`).join('\n')}
    left join ${target.table} t on t.company_id = current_company() and ${target.match}
    ${accounts ? `left join lateral (select array_agg(y.external_key) as keys from system y where y.company_id = current_company() and y.account_id = t.id) l on true` : ''}
    ${vans ? `left join lateral (${partsOf('current_company()', 't.id')}) v on true` : ''}`);
  await bulk.sql('analyze resolved');
  for (const ref of refs) {
    if (ref.made) continue;
    // A row whose system is unknown is told that, not that its zone is unknown too.
    const above = refs.slice(0, refs.indexOf(ref)).filter((one) => !one.made).map((one) => ` and s.${one.into} is not null`).join('');
    await bulk.sql(`insert into problems select s.row, $1, s."${ref.stage}"::text, ${ref.problem}, $2 from resolved s where s."${ref.stage}" is not null and s.${ref.into} is null${above}`, [ref.stage, ref.accepted]);
  }
  for (const [stage, { column, live }] of Object.entries(target.unique ?? {})) {
    if (!present.has(stage)) continue;
    await bulk.sql(`insert into problems select s.row, $1, s."${stage}", 'belongs to ' || o.external_key || ' of your fleet already', 'a value that no other row has'
      from resolved s join ${target.table} o on o.company_id = current_company() and o.${column} = s."${stage}" and o.id is distinct from s.existing_id and ${live}
      where not exists (select 1 from staged other where other.key = o.external_key)`, [stage]);
  }
  if (accounts) await holdStrangeSystems(bulk);
  if (target.namesakes) await bulk.sql(`insert into problems select row, $1, max("${target.namesakes}"), 'is the name of ' || count(*) || ' of your fleet: which of them is meant cannot be told', 'a name that only one has; rename the others on the screen of the site first' from resolved group by row having count(*) > 1`, [target.namesakes]);
  if (kind !== 'keys' && present.has('latitude') && present.has('longitude')) await (kind === 'devices' ? holdFarDevices(bulk) : holdSwapped(bulk, kind === 'sites'));
}

/** Columns written from a staged row `s` (with references joined as r_*), as [column of the table, SQL]. */
function written(target: ImportTarget, present: ReadonlySet<string>): [string, string][] {
  return [
    ...target.refs.filter((ref) => present.has(ref.stage)).map((ref): [string, string] => [ref.into, `r_${ref.stage}.id`]),
    ...Object.entries(target.columns).filter(([stage]) => present.has(stage)).map(([stage, column]): [string, string] => [column, `s."${stage}"`]),
  ];
}

export async function countResolved(bulk: Bulk): Promise<ImportCounts> {
  const [counts] = await bulk.sql<ImportCounts>(`select count(*) filter (where existing_id is null)::int as "rowsNew", count(*) filter (where differs)::int as "rowsChanged",
    count(*) filter (where existing_id is not null and not differs)::int as "rowsSame" from resolved`);
  return counts!;
}

/** Writes the resolved rows: new ones are inserted, those that differ updated, the others not touched. Absent columns keep their value. */
export async function writeFleetRows(bulk: Bulk, kind: FleetTable, present: ReadonlySet<string>, now: Date): Promise<void> {
  const target: ImportTarget = IMPORT_TARGETS[kind];
  const columns = written(target, present).map(([column, from]): [string, string] => [column, from.startsWith('r_') ? `r.${column}` : from.replace('s.', 'r.')]);
  const extra = Object.entries({ ...target.fixed, ...Object.fromEntries(Object.entries(target.missing ?? {}).filter(([stage]) => !present.has(stage))) });
  await bulk.sql(`update ${target.table} t set ${columns.map(([column, from]) => `${column} = ${from}`).join(', ')}
    from resolved r where r.differs and t.company_id = current_company() and t.id = r.existing_id`);
  const needsNow = [...extra].some(([, from]) => from.includes('$1'));
  await bulk.sql(`insert into ${target.table} (company_id, id, ${[...columns, ...extra].map(([column]) => column).join(', ')})
    select current_company(), new_uuid7(${needsNow ? '$1::timestamptz' : 'now()'}), ${[...columns, ...extra].map(([, from]) => from).join(', ')} from resolved r where r.existing_id is null order by r.row`, needsNow ? [now] : []);
  if (kind === 'accounts' && present.has('systems')) await linkSystems(bulk);
  if (kind === 'technicians' && present.has('van_parts')) await countVans(bulk, now);
}

/** Stations named by an account file and not known yet. Run before resolving a file that is kept. */
export async function makeStations(bulk: Bulk, named: boolean): Promise<void> {
  await bulk.sql(`insert into station (company_id, id, external_key, name)
    select current_company(), new_uuid7(now()), station, name from (select station, coalesce(max(${named ? 'station_name' : 'null::text'}), station) as name from staged group by station) s
    where not exists (select 1 from station t where t.company_id = current_company() and t.external_key = s.station)`);
}

async function holdStrangeSystems(bulk: Bulk): Promise<void> {
  await bulk.sql(`insert into problems select s.row, 'systems', named.key, 'is no system of the site ' || s.site, 'keys of systems of that site, divided by semicolons'
    from resolved s cross join lateral unnest(s.systems) named(key)
    where s.site_id is not null and not exists (select 1 from system y where y.company_id = current_company() and y.external_key = named.key and y.site_id = s.site_id)`);
  await bulk.sql(`insert into problems select row, 'systems', key, 'is carried by the account in row ' || first || ' already', 'each system under one account'
    from (select s.row, named.key, min(s.row) over (partition by named.key) as first from resolved s cross join lateral unnest(s.systems) named(key)) given where row > first`);
}

async function linkSystems(bulk: Bulk): Promise<void> {
  const account = `resolved r join account a on a.company_id = current_company() and a.number = r.number join station w on w.company_id = current_company() and w.id = a.station_id and w.external_key = r.station`;
  await bulk.sql(`update system y set account_id = null from ${account} where (r.differs or r.existing_id is null) and y.company_id = current_company() and y.account_id = a.id and not (y.external_key = any(coalesce(r.systems, '{}')))`);
  await bulk.sql(`update system y set account_id = a.id from ${account} where (r.differs or r.existing_id is null) and y.company_id = current_company() and y.external_key = any(r.systems) and y.account_id is distinct from a.id`);
}

/** The parts counted on a technician's van, as one object; null where nothing is. */
export function partsOf(company: string, technician: string): string {
  return `select jsonb_object_agg(v.part, v.quantity) as parts from van_stock v where v.company_id = ${company} and v.technician_id = ${technician}`;
}

/** Vans as the file counts them: parts that it does not name are not on them. Counts that are as they were keep their moment. */
async function countVans(bulk: Bulk, now: Date): Promise<void> {
  const person = `resolved r join technician t on t.company_id = current_company() and t.external_key = r.key`;
  await bulk.sql(`delete from van_stock v using ${person} where (r.differs or r.existing_id is null) and v.company_id = current_company() and v.technician_id = t.id and not coalesce(r.van_parts, '{}') ? v.part`);
  await bulk.sql(`insert into van_stock (company_id, technician_id, part, quantity, counted_at)
    select current_company(), t.id, counted.part, counted.quantity::int, $1::timestamptz from ${person} cross join lateral jsonb_each_text(coalesce(r.van_parts, '{}')) counted(part, quantity) where r.differs or r.existing_id is null
    on conflict (company_id, technician_id, part) do update set quantity = excluded.quantity, counted_at = excluded.counted_at where van_stock.quantity is distinct from excluded.quantity`, [now]);
}

/** Kilometres between two positions, by the plane that touches between them: within 1 % over the distances judged here. */
const km = (lat1: string, lon1: string, lat2: string, lon2: string): string =>
  `111.2 * sqrt((${lat1} - ${lat2}) ^ 2 + ((${lon1} - ${lon2}) * cos(radians((${lat1} + ${lat2}) / 2))) ^ 2)`;

/** Farther than this from its site, a device is at another place. */
const DEVICE_REACH_KM = 30;

async function holdFarDevices(bulk: Bulk): Promise<void> {
  await bulk.sql(`insert into problems
    select row, 'latitude', latitude || ', ' || longitude,
      case when swapped <= ${DEVICE_REACH_KM} then 'latitude and longitude look swapped: so written it is ' || round(far) || ' km from its site, the other way round ' || round(swapped) || ' km'
        else 'is ' || round(far) || ' km from its site' end,
      'a position within ${DEVICE_REACH_KM} km of its site, latitude first'
    from (select s.row, s.latitude, s.longitude, (${km('s.latitude', 's.longitude', 'p.lat', 'p.lon')})::numeric as far, (${km('s.longitude', 's.latitude', 'p.lat', 'p.lon')})::numeric as swapped
      from resolved s join system y on y.company_id = current_company() and y.id = s.system_id join site p on p.company_id = current_company() and p.id = y.site_id
      where s.latitude is not null and p.lat is not null) given
    where far > ${DEVICE_REACH_KM}`);
}

/** A position far from the company's region that would lie inside it the other way round. Needs four known positions to speak of a region. */
async function holdSwapped(bulk: Bulk, sites: boolean): Promise<void> {
  await bulk.sql(`insert into problems
    with known as (
      select lat, lon from site where company_id = current_company() and lat is not null${sites ? ' and external_key not in (select key from staged) union all select latitude, longitude from staged where latitude is not null' : ''}),
    middle as (select percentile_cont(0.5) within group (order by lat) as lat, percentile_cont(0.5) within group (order by lon) as lon, count(*) as n from known),
    region as (select m.lat, m.lon, m.n, greatest(200, 6 * percentile_cont(0.5) within group (order by ${km('k.lat', 'k.lon', 'm.lat', 'm.lon')})) as reach from known k cross join middle m group by m.lat, m.lon, m.n)
    select s.row, 'latitude', s.latitude || ', ' || s.longitude,
      'latitude and longitude look swapped: so written it is ' || round((${km('s.latitude', 's.longitude', 'g.lat', 'g.lon')})::numeric) || ' km from the middle of your sites, the other way round ' || round((${km('s.longitude', 's.latitude', 'g.lat', 'g.lon')})::numeric) || ' km',
      'latitude (north) first, longitude (east) second'
    from resolved s cross join region g
    where g.n >= 4 and s.latitude is not null and abs(s.longitude) <= 90
      and ${km('s.latitude', 's.longitude', 'g.lat', 'g.lon')} > g.reach and ${km('s.longitude', 's.latitude', 'g.lat', 'g.lon')} <= g.reach`);
}
