import { decodeText, DIFFERENCE_KINDS, importKind, nearestOf, readCsv, readHeader, readRow, Refusal, stagedColumns, type DifferenceRow, type ImportColumn, type ImportKind, type ImportRunDetail, type ImportRunRow, type ImportUpload, type ListComparison, type RowFault, type SiteDetail, type StagedReading } from '@bellround/contracts';
import { CHECK_STAGES, companyZone, copyLine, differenceCounts, listCounts, recentLists, runWithProblems, type Bulk, type ImportProblemSql, type Prisma, type StagedColumnSql } from '@bellround/database';
import { readingProblems, type CheckDefinition, type Readings } from '@bellround/acceptance';
import { catalogue, checkDefinition } from '@bellround/programmes';
import type { BulkCtx, Ctx } from '../perform.js';
import { dayText, dayTextOrNull, localDayOf, own } from '../steps.js';

/** A file as a door hands it on: its bytes once, and their SHA-256 (hex) after the last. */
export interface UploadedFile { readonly bytes: AsyncIterable<Uint8Array>; digest(): string }

/** Stands for the house (terminal, launcher) where a person's id is asked for. */
export const FILE_OWNER = '00000000-0000-0000-0000-000000000000';

/** At most so many faults of reading are held in memory; the rest are counted. */
const MOST_FAULTS = 1000;
/** Rows are handed to COPY in pieces of about this many characters. */
const PIECE = 64 * 1024;

/** A file being read: its columns, its good rows as COPY text, and what was held on the way. Counts are final after the last line. */
export interface FileReading {
  readonly columns: readonly StagedColumnSql[];
  /** names of the staged columns */
  readonly present: ReadonlySet<string>;
  readonly lines: AsyncIterable<string>;
  readonly faults: readonly ImportProblemSql[];
  faultsBeyond(): number;
  rowsRead(): number;
  heldRows(): number;
  digest(): string;
}

/** Reads the header at once, the rows as they are asked for. Throws ImportRefused for a header that is not this kind's. */
export async function readingOf(ctx: BulkCtx, input: ImportUpload & { file: UploadedFile }, today: string): Promise<FileReading> {
  const batches = readCsv(decodeText(input.file.bytes));
  const first = await nextBatch(batches);
  const header = first?.shift();
  if (!header) throw new Refusal('ImportRefused', `The file is empty. Accepted: a header line (${importKind(input.kind).columns.map((one) => one.name).join(', ')}) and rows.`);
  const columns = readHeader(input.kind, header.cells);
  const staged = stagedColumns(columns);
  const checks = input.kind === 'checks' ? checkRows(ctx, columns, today) : null;
  const counts = { read: 0, held: 0, beyond: 0 };
  const faults: ImportProblemSql[] = [];

  async function* lines(): AsyncGenerator<string> {
    let piece = '';
    for (let batch = first; batch; batch = await nextBatch(batches)) {
      for (const record of batch) {
        counts.read += 1;
        const row = readRow(input.kind, columns, record, today);
        const done = 'faults' in row ? row : (checks?.(row.values) ?? row);
        if ('faults' in done) {
          counts.held += 1;
          for (const fault of done.faults) if (faults.length < MOST_FAULTS) faults.push({ row: record.row, ...fault }); else counts.beyond += 1;
          continue;
        }
        piece += copyLine(record.row, done.values);
        if (piece.length > PIECE) { yield piece; piece = ''; }
      }
    }
    if (piece !== '') yield piece;
  }
  return {
    columns: [...staged, ...(checks ? CHECK_STAGES : [])], present: new Set(staged.map((one) => one.name)), lines: lines(), faults,
    faultsBeyond: () => counts.beyond, rowsRead: () => counts.read, heldRows: () => counts.held, digest: () => input.file.digest(),
  };
}

async function nextBatch<T>(batches: AsyncGenerator<T[]>): Promise<T[] | null> {
  for (;;) {
    const next = await batches.next();
    if (next.done) return null;
    if (next.value.length > 0) return next.value;
  }
}

/** Adds to each past check its ids, made from its keys, and holds kinds and readings that the catalogue does not know. */
function checkRows(ctx: BulkCtx, columns: readonly ImportColumn[], today: string): (values: (string | null)[]) => { values: (string | null)[] } | { faults: RowFault[] } {
  const names = stagedColumns(columns).map((one) => one.name);
  const at = (name: string) => names.indexOf(name);
  const idOf = (key: string) => recordId(ctx.sha256(`${ctx.who.companyId}\ncheck\n${key}`));
  return (values) => {
    const of = (name: string) => (at(name) < 0 ? null : values[at(name)]!);
    const kind = of('check_kind')!;
    const definition = checkDefinition(kind);
    if (!definition) {
      const nearest = nearestOf(kind, catalogue.map((one) => one.key));
      return { faults: [{ column: 'check_kind', value: kind, problem: `is no check of the catalogue${nearest ? `; did you mean "${nearest}"?` : ''}`, accepted: 'a key of the check catalogue' }] };
    }
    if (definition.subject !== of('subject_kind')) return { faults: [{ column: 'subject_kind', value: of('subject_kind')!, problem: `is not what ${kind} is done on`, accepted: definition.subject }] };
    const written = [...values];
    if (of('readings') !== null) {
      const readings = asDefined(definition, JSON.parse(of('readings')!) as StagedReading[]);
      const [strange] = readingProblems(definition, Object.fromEntries(readings.map((one) => [one.key, one.number ?? one.flag ?? one.text])) as Readings, today);
      if (strange) return { faults: [{ column: 'readings', value: `${strange.reading}=${String(strange.value)}`, problem: strange.words, accepted: definition.readings.map((one) => `${one.key} (${one.kind})`).join(', ') || 'no readings' }] };
      written[at('readings')] = JSON.stringify(readings);
    }
    const corrects = of('corrects');
    return { values: [...written, idOf(of('key')!), ctx.sha256(JSON.stringify(names.map((name) => [name, of(name)]).filter(([name, value]) => name !== 'key' && value !== null).sort())), corrects === null ? null : idOf(corrects)] };
  };
}

/** `1` is a number by its look and a text by its reading's definition. */
function asDefined(definition: CheckDefinition, readings: StagedReading[]): StagedReading[] {
  return readings.map((one) => {
    const kind = definition.readings.find((reading) => reading.key === one.key)?.kind;
    if (kind !== 'text' && kind !== 'choice' && kind !== 'date') return one;
    return { key: one.key, number: null, flag: null, text: one.text ?? (one.number !== null ? String(one.number) : one.flag ? 'yes' : 'no') };
  });
}

/** A UUID version 8 (RFC 9562 section 5.8) of a SHA-256 in hex. */
export function recordId(hex: string): string {
  const variant = ((parseInt(hex[16]!, 16) & 0x3) | 0x8).toString(16);
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-${variant}${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}

export async function importRunDetail(sql: Pick<Bulk, 'sql'>, runId: string): Promise<ImportRunDetail> {
  const found = await runWithProblems(sql, runId);
  if (!found) throw new Refusal('NotFound', 'There is no import by that id.');
  const { problems, startedAt, endedAt, ...run } = found;
  return { ...run, kind: run.kind as ImportKind, state: run.state as ImportRunRow['state'], startedAt: startedAt.toISOString(), endedAt: endedAt?.toISOString() ?? null, problems };
}

/** Text that stands for what an edit was made from; another edit in between makes another. */
export function versionOf(ctx: { sha256: (text: string) => string }, fields: unknown): string {
  return ctx.sha256(JSON.stringify(fields)).slice(0, 16);
}


/** A site with all that belongs to it, in one answer. Throws NotFound. */
export async function siteDetail(ctx: Ctx, siteId: string): Promise<SiteDetail> {
  const site = await ctx.tx.db.site.findUnique({
    where: { companyId_id: { ...own(ctx), id: siteId } },
    include: {
      client: true, contacts: { orderBy: [{ name: 'asc' }, { id: 'asc' }] }, blackouts: { orderBy: [{ fromDay: 'asc' }, { id: 'asc' }] },
      accounts: { include: { station: { select: { name: true } } }, orderBy: { number: 'asc' } },
      systems: { orderBy: { externalKey: 'asc' }, include: {
        zones: { orderBy: { number: 'asc' } }, devices: { orderBy: { externalKey: 'asc' }, include: { zone: { select: { number: true } } } },
        batteries: { orderBy: { externalKey: 'asc' } }, paths: { orderBy: [{ rank: 'asc' }, { externalKey: 'asc' }] },
      } },
    },
  });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const hours = { accessHours: site.accessHours as SiteDetail['accessHours'], noiseHours: site.noiseHours as SiteDetail['noiseHours'], accessNotes: site.accessNotes, notes: site.notes, environment: site.environment as SiteDetail['environment'] };
  return {
    id: site.id, key: site.externalKey, name: site.name, address: site.address, locality: site.locality, postcode: site.postcode, lat: site.lat, lon: site.lon, timeZone: site.timeZone,
    occupancy: site.occupancy, sleepingRisk: site.sleepingRisk, ...hours, takenOverOn: dayTextOrNull(site.takenOverOn), closedOn: dayTextOrNull(site.closedOn), version: versionOf(ctx, hours),
    client: { id: site.client.id, key: site.client.externalKey, name: site.client.name, email: site.client.email, phone: site.client.phone },
    systems: site.systems.map(systemDetail),
    accounts: site.accounts.map((one) => ({ id: one.id, station: one.station.name, number: one.number, status: one.status, validFrom: dayTextOrNull(one.validFrom), validTo: dayTextOrNull(one.validTo) })),
    contacts: site.contacts.map((one) => ({ id: one.id, name: one.name, roles: one.roles as SiteDetail['contacts'][number]['roles'], email: one.email, phone: one.phone, language: one.language, validFrom: dayText(one.validFrom), validTo: dayTextOrNull(one.validTo) })),
    blackouts: site.blackouts.map((one) => ({ id: one.id, kind: one.kind as SiteDetail['blackouts'][number]['kind'], fromDay: dayText(one.fromDay), toDay: dayTextOrNull(one.toDay), reason: one.reason, authority: one.authority })),
  };
}

type SystemRow = Prisma.SystemGetPayload<{ include: { zones: true; devices: { include: { zone: { select: { number: true } } } }; batteries: true; paths: true } }>;

function systemDetail(system: SystemRow): SiteDetail['systems'][number] {
  return {
    id: system.id, key: system.externalKey, kind: system.kind, name: system.name, grade: system.grade, controlUnit: system.controlUnit, installedOn: dayTextOrNull(system.installedOn), retiredOn: dayTextOrNull(system.retiredOn), accountId: system.accountId,
    zones: system.zones.map(({ id, number, textOurs, textPanel, textStation }) => ({ id, number, textOurs, textPanel, textStation })),
    devices: system.devices.map((one) => ({ id: one.id, key: one.externalKey, kind: one.kind, link: one.link, label: one.label, room: one.room, environment: one.environment as SiteDetail['environment'], zone: one.zone?.number ?? null, serial: one.serial, madeOn: dayTextOrNull(one.madeOn), madeOnState: one.madeOnState, installedOn: dayTextOrNull(one.installedOn), removedOn: dayTextOrNull(one.removedOn) })),
    batteries: system.batteries.map((one) => ({ id: one.id, key: one.externalKey, label: one.label, deviceId: one.deviceId, chemistry: one.chemistry, ratedMah: one.ratedMah, nominalMv: one.nominalMv, madeOn: dayTextOrNull(one.madeOn), madeOnState: one.madeOnState, fittedOn: dayTextOrNull(one.fittedOn), firstSeenOn: dayTextOrNull(one.firstSeenOn), removedOn: dayTextOrNull(one.removedOn) })),
    paths: system.paths.map((one) => ({ id: one.id, key: one.externalKey, rank: one.rank, technology: one.technology, label: one.label, category: one.category, supervisionS: one.supervisionS, contractEndsOn: dayTextOrNull(one.contractEndsOn), technologyEndsOn: dayTextOrNull(one.technologyEndsOn), removedOn: dayTextOrNull(one.removedOn) })),
  };
}

/** The three lists on `asOf`, or today by the company's zone. */
export async function listComparison(ctx: Ctx, asOf: string | null): Promise<ListComparison> {
  const day = asOf ?? localDayOf(ctx.now, await companyZone(ctx.tx));
  const counts = await listCounts(ctx.tx, day);
  const found = new Map((await differenceCounts(ctx.tx, day)).map((one) => [one.kind, one.count]));
  const open = await ctx.tx.db.listDifference.groupBy({ by: ['kind'], where: { ...own(ctx), goneOn: null, settledAt: null }, _count: { _all: true } });
  const lists = await recentLists(ctx.tx, 20);
  return {
    asOf: day, counts,
    differences: DIFFERENCE_KINDS.map((kind) => ({ kind, count: found.get(kind) ?? 0, unsettled: open.find((one) => one.kind === kind)?._count._all ?? 0 })),
    stations: (await ctx.tx.db.station.findMany({ where: own(ctx), orderBy: { name: 'asc' } })).map((one) => ({ key: one.externalKey, name: one.name })),
    lists: lists.map((one) => ({ ...one, importedAt: new Date(one.importedAt).toISOString() })),
  };
}

type Difference = Prisma.ListDifferenceGetPayload<object>;

/** A difference, locked against a second person settling it. Throws NotFound. */
export async function differenceById(ctx: Ctx, id: string): Promise<Difference> {
  await ctx.tx.sql('select 1 from list_difference where company_id = current_company() and id = $1::uuid for update', [id]);
  const difference = await ctx.tx.db.listDifference.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (!difference) throw new Refusal('NotFound', 'There is no difference by that id.');
  return difference;
}

/** Differences with the names of their sites, stations and people. */
export async function differenceRows(ctx: Ctx, found: readonly Difference[]): Promise<DifferenceRow[]> {
  const ids = (of: (one: Difference) => string | null) => [...new Set(found.map(of).filter((id): id is string => id !== null && id !== ''))];
  const users = new Map((await ctx.tx.db.user.findMany({ where: { ...own(ctx), id: { in: [...ids((one) => one.assigneeId), ...ids((one) => one.settledBy)] } }, select: { id: true, name: true } })).map((one) => [one.id, one.name]));
  const sites = new Map((await ctx.tx.db.site.findMany({ where: { ...own(ctx), id: { in: ids((one) => one.siteId) } }, select: { id: true, name: true } })).map((one) => [one.id, one.name]));
  const stations = new Map((await ctx.tx.db.station.findMany({ where: { ...own(ctx), externalKey: { in: ids((one) => one.stationKey) } }, select: { externalKey: true, name: true } })).map((one) => [one.externalKey, one.name]));
  return found.map((one) => ({
    id: one.id, kind: one.kind as DifferenceRow['kind'], station: stations.get(one.stationKey) ?? null, accountNumber: one.accountNumber, name: one.name,
    siteId: one.siteId, siteName: one.siteId === null ? null : sites.get(one.siteId) ?? null, firstSeenOn: dayText(one.firstSeenOn), lastSeenOn: dayText(one.lastSeenOn),
    assignee: one.assigneeId === null ? null : { id: one.assigneeId, name: users.get(one.assigneeId) ?? '' },
    settledAt: one.settledAt?.toISOString() ?? null, settledBy: one.settledBy === null ? null : users.get(one.settledBy) ?? null, settlement: one.settlement, goneOn: dayTextOrNull(one.goneOn),
  }));
}
