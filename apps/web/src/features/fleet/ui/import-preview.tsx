import { type ImportRunDetail, importKind } from '@bellround/contracts';
import { numberWords } from '../../../shared/format.js';
import { Button, Figure, useToast } from '../../../shared/ui/index.js';
import { useDropImport } from '../api/imports.js';
import { HeldRows } from './held-rows.js';
import { phrase } from '../../../shared/language/index.js';

/** What keeping the file would do, what is held and why, and the two ways to go on. */
export function ImportPreview({ run, isBusy, onKeep, onDropped }: { run: ImportRunDetail; isBusy: boolean; onKeep: () => void; onDropped: () => void }) {
  const say = useToast();
  const drop = useDropImport(() => { say(phrase('fleet.filename-dropped-nothing-was-written', { fileName: run.fileName })); onDropped(); });
  const changes = run.rowsNew + run.rowsChanged;
  return (
    <section className="leaf stack" aria-label={phrase('fleet.preview-of-filename', { fileName: run.fileName })}>
      <h3 tabIndex={-1}>{phrase('fleet.title-in-filename-rowsread-read', { title: importKind(run.kind).title, fileName: run.fileName, rowsRead: phrase('count.row', { n: run.rowsRead }) })}</h3>
      <RunFigures run={run} />
      <div className="row">
        <Button kind="do" disabled={run.rowsGood === 0} busy={isBusy ? phrase('fleet.keeping') : false} onClick={onKeep}>{phrase('fleet.keep-rowsgood', { rowsGood: phrase('count.good-row', { n: run.rowsGood }) })}</Button>
        <Button busy={drop.isPending} onClick={() => drop.mutate({ runId: run.id })}>{phrase('fleet.drop-the-file')}</Button>
        <span className="quiet">{run.rowsGood === 0 ? phrase('fleet.no-row-can-be-kept') : changes === 0 ? phrase('fleet.your-fleet-says-all-this-already-keeping') : phrase('fleet.keeping-changes-changes-of-your-fleet-value', { changes: phrase('count.row', { n: changes }), value: run.rowsHeld > 0 ? phrase('fleet.held-rows-stay-out') : '' })}</span>
      </div>
      <HeldRows run={run} />
    </section>
  );
}

export function RunFigures({ run }: { run: ImportRunDetail }) {
  return (
    <div className="grid narrow">
      <Figure amount={numberWords(run.rowsNew)} name={phrase('fleet.rows-new')} look />
      <Figure amount={numberWords(run.rowsChanged)} name={phrase('fleet.rows-changed')} />
      <Figure amount={numberWords(run.rowsSame)} name={phrase('fleet.as-they-were')} />
      <Figure amount={numberWords(run.rowsHeld)} name={phrase('fleet.rows-held')} why={run.rowsHeld > 0 ? phrase('fleet.with-reasons-below') : phrase('fleet.nothing-to-mend')} />
    </div>
  );
}
