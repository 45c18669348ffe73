import { importKind, LIST_KINDS, MOST_PROBLEMS_KEPT, Refusal, type ImportRunDetail, type ImportUpload } from '@bellround/contracts';
import {
  addProblems, companyZone, countChecks, countResolved, dropHeld, findRun, firstProblems, holdRepeated, insertRun, keepDifferences, listSpeaksAlready, makeStation,
  makeStations, markKept, noteImport, refreshStatistics, resolveChecks, resolveFleetRows, resolveListRows, stageRows, stationByKey, writeChecks, writeFleetRows, writeList, type FleetTable, type ImportCounts, type RunSql,
} from '@bellround/database';
import type { BulkAct, BulkCtx } from '../perform.js';
import { localDayOf } from '../steps.js';
import { FILE_OWNER, importRunDetail, readingOf, type FileReading, type UploadedFile } from './steps.js';

/** Kinds whose rows change what is owed: windows and credits are computed again afterwards. */
const CHANGES_DUTIES = new Set(['sites', 'systems', 'zones', 'devices', 'batteries', 'paths', 'checks']);

/** From so many new rows on, the database's statistics are renewed before anybody asks. */
const GREW_MUCH = 2000;

/**
 * Reads a whole CSV file in one transaction. `preview` says what keeping it would do and writes nothing but that answer;
 * `keep` wants the previewed file again and writes its good rows. Rows that are held never stop the others. The same
 * file kept twice changes nothing. Throws ImportRefused for what is no such file, NotFound, IdReused, WrongState, and
 * Stale when the fleet changed since the preview so that the answer would be another.
 */
export const importFile: BulkAct<ImportUpload & { file: UploadedFile }, ImportRunDetail> = async (ctx, input) => {
  const { bulk } = ctx;
  const today = localDayOf(ctx.now, await companyZone(bulk));
  requireListParts(input, today);
  const before = await findRun(bulk, input.runId);
  refuseWrongRun(before, input);
  const reading = await readingOf(ctx, input, today);
  const keys = importKind(input.kind).keys;
  await stageRows(bulk, reading.columns, reading.lines);
  const digest = ctx.sha256([reading.digest(), input.kind, input.station ?? '', input.listedOn ?? ''].join('\n'));
  if (before !== null && before.digest !== digest) throw new Refusal('IdReused', input.mode === 'keep' ? 'This is not the file that was previewed. Preview it first, then keep it.' : 'This import already belongs to another file; begin a new one.');
  if (before !== null && (input.mode === 'preview' || before.state === 'kept')) return importRunDetail(bulk, before.id);

  await addProblems(bulk, reading.faults);
  await holdRepeated(bulk, keys, `each ${importKind(input.kind).one} once per file`);
  for (const column of importKind(input.kind).columns) if (column.unique && reading.present.has(column.name)) await holdRepeated(bulk, [column.name], 'a value that no other row has');
  const target = targetOf(ctx, input, reading, digest);
  await target.resolve();
  const held = reading.heldRows() + await dropHeld(bulk, 'resolved');
  const counts = await target.count();
  const { problems, total } = await firstProblems(bulk, MOST_PROBLEMS_KEPT);
  const run: RunSql = {
    id: input.runId, kind: input.kind, fileName: input.fileName, digest, state: 'previewed', rowsRead: reading.rowsRead(), rowsGood: reading.rowsRead() - held, rowsHeld: held, ...counts,
    problemsTotal: total + reading.faultsBeyond(), startedBy: ctx.who.userId ?? FILE_OWNER,
  };
  if (input.mode === 'preview') {
    await insertRun(bulk, run, problems, ctx.now);
    return importRunDetail(bulk, run.id);
  }
  if (before!.rowsHeld !== held || before!.rowsNew !== counts.rowsNew || before!.rowsChanged !== counts.rowsChanged) {
    throw new Refusal('Stale', `Your fleet changed since the preview: now ${counts.rowsNew} rows are new, ${counts.rowsChanged} changed and ${held} held. Nothing was written; preview the file again.`);
  }
  await target.write();
  if (counts.rowsNew >= GREW_MUCH) await refreshStatistics(bulk);
  await markKept(bulk, run.id, counts, ctx.now);
  const summary = `${importKind(input.kind).title}: ${counts.rowsNew} new, ${counts.rowsChanged} changed, ${counts.rowsSame} same, ${held} held (${input.fileName})`;
  const job = CHANGES_DUTIES.has(input.kind) && counts.rowsNew + counts.rowsChanged > 0 ? 'fleet-refresh' : null;
  await noteImport(bulk, { id: ctx.newId(), at: ctx.now, actorId: ctx.who.userId, actorName: ctx.who.name, act: 'import-file', about: 'import', runId: run.id, summary }, job);
  return importRunDetail(bulk, run.id);
};

function requireListParts(input: ImportUpload, today: string): void {
  if (!LIST_KINDS.includes(input.kind)) return;
  const errors = [];
  if (input.listedOn === undefined) errors.push({ path: 'listedOn', message: 'say the day for which the list speaks, YYYY-MM-DD' });
  else if (input.listedOn > today) errors.push({ path: 'listedOn', message: `${input.listedOn} is after today (${today})` });
  if (input.kind === 'station-list' && !input.station) errors.push({ path: 'station', message: 'say whose list it is: the station\'s key' });
  if (errors.length > 0) throw new Refusal('BadInput', errors.map((one) => `${one.path}: ${one.message}`).join('; '), { errors });
}

function refuseWrongRun(before: RunSql | null, input: ImportUpload): void {
  if (before === null && input.mode === 'keep') throw new Refusal('NotFound', 'There is no preview by that id. Preview the file first.');
  if (before !== null && before.kind !== input.kind) throw new Refusal('IdReused', `This import is of ${before.kind}; begin a new one.`);
  if (before?.state === 'dropped') throw new Refusal('WrongState', 'This preview was dropped. Preview the file again.');
}

interface Target { resolve(): Promise<void>; count(): Promise<ImportCounts>; write(): Promise<void> }

/** The three ways of keeping rows: append past checks, keep a list, or bring the fleet's tables in line. */
function targetOf(ctx: BulkCtx, input: ImportUpload, { present }: FileReading, digest: string): Target {
  const { bulk } = ctx;
  if (input.kind === 'checks') return { resolve: () => resolveChecks(bulk, present), count: () => countChecks(bulk), write: () => writeChecks(bulk, ctx.now, ctx.who.userId) };
  if (input.kind === 'station-list' || input.kind === 'invoice-list') {
    const kind = input.kind === 'station-list' ? 'station' : 'invoice';
    const station = input.station && kind === 'station' ? input.station : null;
    return {
      resolve: async () => resolveListRows(bulk, kind, station === null ? null : (await stationByKey(bulk, station))?.id ?? null, present),
      count: () => countResolved(bulk),
      write: async () => {
        const stationId = station === null ? null : await makeStation(bulk, station);
        if (await listSpeaksAlready(bulk, kind, stationId, digest)) return;
        await writeList(bulk, { id: ctx.newId(), kind, stationId, listedOn: input.listedOn!, fileName: input.fileName, digest, by: ctx.who.userId ?? FILE_OWNER }, ctx.now);
        await keepDifferences(bulk, localDayOf(ctx.now, await companyZone(bulk)));
      },
    };
  }
  const table: FleetTable = input.kind;
  return {
    resolve: async () => {
      if (table === 'accounts' && input.mode === 'keep') await makeStations(bulk, present.has('station_name'));
      await resolveFleetRows(bulk, table, present);
    },
    count: () => countResolved(bulk),
    write: async () => {
      await writeFleetRows(bulk, table, present, ctx.now);
      if (table === 'accounts' || table === 'sites') await keepDifferences(bulk, localDayOf(ctx.now, await companyZone(bulk)));
    },
  };
}
