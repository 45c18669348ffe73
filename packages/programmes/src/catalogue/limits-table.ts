import { type CheckDefinition, type Limit, limitWords, sourceWords } from '@bellround/acceptance';

/** Every limit of the given checks as a Markdown document, one row each: what is read, what is accepted, and where that comes from. */
export function limitsTable(definitions: readonly CheckDefinition[]): string {
  const rows = definitions.flatMap((d) => d.limits.map((limit) => `| ${d.title} | ${labelOf(d, limit)} | ${accepted(limit)} | ${limit.level === 'fail' ? 'fails' : 'warns'} | ${cell(sourceWords(limit.source))} |`));
  return [
    '# Every limit that Bellround applies, and where it comes from', '',
    'Generated from the check catalogue; a spec holds this file equal to it. A limit set by the maker or the company for one subject replaces',
    'the row of the same reading and level, or is held besides a computed one. Local codes, the adopted edition, the listing and licensed practice prevail.', '',
    'SEEN-P: seen in the document or a page reproducing it. SEEN-R: seen in a secondary source. SEEN-U: seen in unchecked notes. MEM: from memory.', '',
    '| check | reading | accepted | breaking it | source |', '| --- | --- | --- | --- | --- |', ...rows, '',
  ].join('\n');
}

function labelOf(definition: CheckDefinition, limit: Limit): string {
  return cell(definition.readings.find((r) => r.key === limit.reading)?.label ?? limit.reading);
}

function accepted(limit: Limit): string {
  if (limit.value === null) return cell(limit.computed ?? '');
  if (limit.value === true) return 'yes';
  return cell(limitWords(limit));
}

function cell(text: string): string {
  return text.replaceAll('|', '/').replace(/\s+/g, ' ').trim();
}
