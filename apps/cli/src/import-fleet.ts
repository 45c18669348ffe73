import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { basename } from 'node:path';
import { ImportUpload, type ImportRunDetail } from '@bellround/contracts';
import { importFile, type UploadedFile } from '@bellround/operations';
import { fileAt, text, WrongUse, type TerminalAct } from './act.js';

function opened(path: string): UploadedFile {
  const hash = createHash('sha256');
  async function* bytes(): AsyncGenerator<Uint8Array> {
    for await (const piece of createReadStream(path)) {
      hash.update(piece as Uint8Array);
      yield piece as Uint8Array;
    }
  }
  return { bytes: bytes(), digest: () => hash.digest('hex') };
}

export const importFleet: TerminalAct = {
  name: 'import', usage: 'import <kind> <file.csv> [--dry-run] [--company slug] [--station key] [--listed-on date]',
  words: 'Reads a CSV file of clients, sites, systems, zones, devices, batteries, paths, accounts, technicians, licences, keys, permits, checks, station-list or invoice-list. --dry-run only says what would change and what is held.',
  takes: [2, 2],
  options: { 'dry-run': { type: 'boolean', words: 'only say what would change and what is held' }, company: { type: 'string', words: 'short name of the company, when there are several' }, station: { type: 'string', words: 'key of the station whose list it is' }, 'listed-on': { type: 'string', words: 'day for which a list speaks, YYYY-MM-DD' } },
  run: async ({ words, options }, terminal) => {
    const [kind, path] = words as [string, string];
    const station = text(options['station']);
    const listedOn = text(options['listed-on']);
    const asked = (mode: 'preview' | 'keep', runId: string) => {
      const parsed = ImportUpload.safeParse({ kind, runId, fileName: basename(path), mode, ...(station ? { station } : {}), ...(listedOn ? { listedOn } : {}) });
      if (!parsed.success) throw new WrongUse(parsed.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; '));
      return parsed.data;
    };
    const runId = terminal.newId();
    const preview = asked('preview', runId);
    fileAt(path);
    const who = await terminal.house(text(options['company']));
    let run = await terminal.perform.bulk(importFile, who, { ...preview, file: opened(path) });
    if (!options['dry-run']) run = await terminal.perform.bulk(importFile, who, { ...asked('keep', runId), file: opened(path) });
    return { data: run, lines: lines(run, options['dry-run'] === true) };
  },
};

function lines(run: ImportRunDetail, dry: boolean): string[] {
  return [
    `${run.fileName}: ${run.rowsRead} rows read; ${run.rowsNew} new, ${run.rowsChanged} changed, ${run.rowsSame} the same, ${run.rowsHeld} held${dry ? '; nothing was written' : ''}`,
    ...run.problems.map((problem) => `  row ${problem.row}, ${problem.column}: '${problem.value}' ${problem.problem}; accepted: ${problem.accepted}`),
    ...(run.problemsTotal > run.problems.length ? [`  ... and ${run.problemsTotal - run.problems.length} more`] : []),
  ];
}
