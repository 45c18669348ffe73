import { type ImportRunDetail, importKind } from '@bellround/contracts';
import { countWords, numberWords } from '../../../shared/format.js';
import { Button, Figure, useToast } from '../../../shared/ui/index.js';
import { useDropImport } from '../api/imports.js';
import { HeldRows } from './held-rows.js';

/** What keeping the file would do, what is held and why, and the two ways to go on. */
export function ImportPreview({ run, isBusy, onKeep, onDropped }: { run: ImportRunDetail; isBusy: boolean; onKeep: () => void; onDropped: () => void }) {
  const say = useToast();
  const drop = useDropImport(() => { say(`${run.fileName} dropped; nothing was written`); onDropped(); });
  const changes = run.rowsNew + run.rowsChanged;
  return (
    <section className="leaf stack" aria-label={`Preview of ${run.fileName}`}>
      <h3 tabIndex={-1}>{importKind(run.kind).title} in {run.fileName}: {countWords(run.rowsRead, 'row')} read</h3>
      <RunFigures run={run} />
      <div className="row">
        <Button kind="do" disabled={run.rowsGood === 0} busy={isBusy ? 'Keeping …' : false} onClick={onKeep}>Keep {countWords(run.rowsGood, 'good row')}</Button>
        <Button busy={drop.isPending} onClick={() => drop.mutate({ runId: run.id })}>Drop the file</Button>
        <span className="quiet">{run.rowsGood === 0 ? 'No row can be kept.' : changes === 0 ? 'Your fleet says all this already: keeping changes nothing.' : `Keeping changes ${countWords(changes, 'row')} of your fleet${run.rowsHeld > 0 ? '; held rows stay out' : ''}.`}</span>
      </div>
      <HeldRows run={run} />
    </section>
  );
}

export function RunFigures({ run }: { run: ImportRunDetail }) {
  return (
    <div className="grid narrow">
      <Figure amount={numberWords(run.rowsNew)} name="new" look />
      <Figure amount={numberWords(run.rowsChanged)} name="changed" />
      <Figure amount={numberWords(run.rowsSame)} name="as they were" />
      <Figure amount={numberWords(run.rowsHeld)} name="held" why={run.rowsHeld > 0 ? 'with reasons below' : 'nothing to mend'} />
    </div>
  );
}
