import { IMPORT_KIND_NAMES, type ImportKind, importKind } from '@bellround/contracts';
import { Button, LinkButton } from '../../../shared/ui/index.js';
import { useFirstRun } from '../api/first-run.js';
import { STEP_WORDS } from './begin-words.js';
import { phrase } from '../../../shared/language/index.js';

/** After a file was kept: which one comes next in the order, and, while the company is being set up, what its way asks for. */
export function NextFile({ after, onGo }: { after: ImportKind; onGo: (kind: ImportKind) => void }) {
  const next = IMPORT_KIND_NAMES[IMPORT_KIND_NAMES.indexOf(after) + 1];
  const run = useFirstRun().data;
  return (
    <div className="note row" role="status">
      <span>{phrase('fleet.title-are-kept-value', { title: importKind(after).title, value: run?.next ? phrase('fleet.your-company-is-on-its-way-next', { toLowerCase: STEP_WORDS[run.next].title.toLowerCase() }) : '' })}</span>
      {next ? <Button size="small" onClick={() => onGo(next)}>{phrase('fleet.go-on-with-tolowercase', { toLowerCase: importKind(next).title.toLowerCase() })}</Button> : null}
      {run?.next ? <LinkButton size="small" to="/begin">{phrase('fleet.all-steps')}</LinkButton> : null}
    </div>
  );
}
