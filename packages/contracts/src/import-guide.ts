import { IMPORT_KIND_NAMES, importKind, LIST_KINDS } from './import-kinds.js';

const cell = (text: string): string => text.replaceAll('|', '\\|');

/** The guide's page on import files, from the declaration that also checks them: docs/guide/import.md is this text. */
export function importGuide(): string {
  const kinds = IMPORT_KIND_NAMES.map((kind, at) => {
    const { title, means, columns, keys } = importKind(kind);
    return [
      `## ${at + 1}. ${title} (\`${kind}\`)`, '', `${means} A row is known by: ${keys.map((key) => `\`${key}\``).join(' and ')}.${LIST_KINDS.includes(kind) ? ' The day for which the list speaks is given beside the file, for a station\'s list also the station\'s key.' : ''}`, '',
      '| column | needed | meaning | accepted | example |', '| --- | --- | --- | --- | --- |',
      ...columns.map((one) => `| \`${one.name}\` | ${one.required ? 'yes' : ''} | ${cell(one.means)} | ${cell(one.cell.accepted)} | ${one.example === '' ? '' : `\`${cell(one.example)}\``} |`), '',
    ].join('\n');
  });
  return `${INTRODUCTION}\n${kinds.join('\n')}`;
}

const INTRODUCTION = `# Import files

This page is written from the declaration that checks the files (\`node packages/contracts/write-guide.mjs\`).

A file is CSV by RFC 4180: one header line, then rows. Comma, semicolon or tab; UTF-8 with or without its mark, or UTF-16 with one. Columns may
stand in any order; those not needed may be left out. Import in the order below, since later files name rows of earlier ones.

- A preview says how many rows are new, changed and as they were, and which are held, each with row, column, value and what is accepted.
  Nothing reaches the fleet before you keep the good rows. Row 1 is the header, as a spreadsheet counts.
- Your own keys say which row is which, so the same file twice changes nothing. A column that a file does not have leaves values as they are;
  an empty cell empties the value.
- Held rows never stop the others, and nothing is half-written: a file is kept in one transaction or not at all.
- A cell that begins with = is held, because a spreadsheet would run it as a formula. Text that truly begins with = + - or @ is written out with an
  apostrophe before it, and the apostrophe is taken away again when the file comes back.
- Past checks are appended and never altered. A correction is a further check that names the one it corrects. Unless you say otherwise they are
  inherited records (evidence D), which meet no mandated duty.
`;
