import type { ProgrammeDiffShown } from '@bellround/contracts';

/** What one version does to the one before, in words. */
export function Changes({ changes }: { changes: ProgrammeDiffShown }) {
  if (changes.added.length + changes.removed.length + changes.changed.length === 0) return <p className="quiet">Nothing about the duties changes.</p>;
  return (
    <ul>
      {changes.added.map((title) => <li key={`a ${title}`}>Added: {title}</li>)}
      {changes.removed.map((title) => <li key={`r ${title}`}>Removed: {title}</li>)}
      {changes.changed.map((one) => <li key={`${one.ruleKey} ${one.part}`}>{one.ruleKey.replaceAll('-', ' ')}, {one.part}: {one.before} becomes {one.after}</li>)}
      {changes.moves.length > 0 ? <li>Windows move for: {changes.moves.map((key) => key.replaceAll('-', ' ')).join(', ')}</li> : null}
    </ul>
  );
}
