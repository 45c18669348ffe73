import type { ProgrammeDiffShown } from '@bellround/contracts';
import { phrase } from '../../../shared/language/index.js';

/** What one version does to the one before, in words. */
export function Changes({ changes }: { changes: ProgrammeDiffShown }) {
  if (changes.added.length + changes.removed.length + changes.changed.length === 0) return <p className="quiet">{phrase('programmes.nothing-about-the-duties-changes')}</p>;
  return (
    <ul>
      {changes.added.map((title) => <li key={`a ${title}`}>{phrase('programmes.added-title', { title })}</li>)}
      {changes.removed.map((title) => <li key={`r ${title}`}>{phrase('programmes.removed-title', { title })}</li>)}
      {changes.changed.map((one) => <li key={`${one.ruleKey} ${one.part}`}>{phrase('programmes.replaceall-part-before-becomes-after', { replaceAll: one.ruleKey.replaceAll('-', ' '), part: one.part, before: one.before, after: one.after })}</li>)}
      {changes.moves.length > 0 ? <li>{phrase('programmes.windows-move-for-join', { join: changes.moves.map((key) => key.replaceAll('-', ' ')).join(', ') })}</li> : null}
    </ul>
  );
}
