import { IMPORT_KIND_NAMES, type ImportKind, importKind } from '@bellround/contracts';
import { Button, LinkButton } from '../../../shared/ui/index.js';
import { useFirstRun } from '../api/first-run.js';
import { STEP_WORDS } from './begin-words.js';

/** After a file was kept: which one comes next in the order, and, while the company is being set up, what its way asks for. */
export function NextFile({ after, onGo }: { after: ImportKind; onGo: (kind: ImportKind) => void }) {
  const next = IMPORT_KIND_NAMES[IMPORT_KIND_NAMES.indexOf(after) + 1];
  const run = useFirstRun().data;
  return (
    <div className="note row" role="status">
      <span>{importKind(after).title} are kept.{run?.next ? ` Your company is on its way: next comes ${STEP_WORDS[run.next].title.toLowerCase()}.` : ''}</span>
      {next ? <Button size="small" onClick={() => onGo(next)}>Go on with {importKind(next).title.toLowerCase()}</Button> : null}
      {run?.next ? <LinkButton size="small" to="/begin">All steps</LinkButton> : null}
    </div>
  );
}
