/**
 * Changes one comparison, one off-by-one, one least or most at a time in the window arithmetic of packages/recurrence, and runs
 * its tests on a copy: a change that no test notices is a survivor. Ends with 1 when there is one that is not listed as equal.
 *
 *   node tests/mutation/recurrence.mjs [--files rolling,fixed] [--from 0] [--most 1000]
 */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const top = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const home = join(top, 'packages/recurrence');
const argument = (name, value) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? value : process.argv[at + 1];
};
const files = argument('files', 'rolling,fixed,series,standing,prepared,after-event,period,share').split(',');
const from = Number(argument('from', 0));
const most = Number(argument('most', 10_000));

const SWAPS = new Map([
  ['<', '<='], ['<=', '<'], ['>', '>='], ['>=', '>'], ['===', '!=='], ['!==', '==='], ['&&', '||'], ['||', '&&'], ['+', '-'], ['-', '+'],
]);

/** Changes that give the same answers, each with its reason. Matched on file and the whole line. */
const EQUAL = JSON.parse(readFileSync(new URL('./recurrence-equal.json', import.meta.url), 'utf8'));

/** Every single change of a file: place, what stands there, what is put. */
function changesOf(name) {
  const text = readFileSync(join(home, 'src', `${name}.ts`), 'utf8');
  const source = ts.createSourceFile(`${name}.ts`, text, ts.ScriptTarget.ES2023, true);
  const changes = [];
  const add = (start, end, put) => {
    const { line } = source.getLineAndCharacterOfPosition(start);
    changes.push({ name, start, end, was: text.slice(start, end), put, line: line + 1, lineText: text.split('\n')[line].trim() });
  };
  const visit = (node) => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isTemplateExpression(node) || ts.isThrowStatement(node)) return;
    if (ts.isBinaryExpression(node)) {
      const sign = node.operatorToken.getText();
      if (SWAPS.has(sign)) add(node.operatorToken.getStart(), node.operatorToken.getEnd(), SWAPS.get(sign));
      if ((sign === '+' || sign === '-') && node.right.getText() === '1') add(node.right.getStart(), node.right.getEnd(), '0');
    }
    if (ts.isPropertyAccessExpression(node) && node.expression.getText() === 'Math' && ['min', 'max'].includes(node.name.text)) {
      add(node.name.getStart(), node.name.getEnd(), node.name.text === 'min' ? 'max' : 'min');
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return { text, changes };
}

const place = mkdtempSync(join(tmpdir(), 'bellround-mutation-'));
cpSync(join(home, 'src'), join(place, 'src'), { recursive: true });
writeFileSync(join(place, 'package.json'), '{ "type": "module" }');
symlinkSync(join(home, 'node_modules'), join(place, 'node_modules'));
// Time limits: a change may turn a loop into an endless one, which counts as noticed.
writeFileSync(join(place, 'vitest.config.mjs'), 'export default { test: { include: ["src/{timeline,cadences,scenarios,history.properties}.spec.ts"], testTimeout: 60000, maxWorkers: 1 } };');
const runner = join(home, 'node_modules/vitest/vitest.mjs');
// The quick tests first: what they notice need not wait for the properties.
const run = (...names) => spawnSync(process.execPath, [runner, 'run', '--root', place, '--bail', '1', ...names], { timeout: 180_000, stdio: 'ignore' }).status === 0;
const passes = () => run('cadences', 'timeline', 'scenarios') && run('history.properties');

let noticed = 0;
let listed = 0;
const survivors = [];
try {
  if (!passes()) throw new Error('the tests do not pass on the unchanged copy');
  const all = files.flatMap((name) => changesOf(name).changes).slice(from, from + most);
  console.log(`${all.length} changes in ${files.join(', ')}`);
  for (const [at, change] of all.entries()) {
    const target = join(place, 'src', `${change.name}.ts`);
    const { text } = changesOf(change.name);
    writeFileSync(target, text.slice(0, change.start) + change.put + text.slice(change.end));
    const survived = passes();
    writeFileSync(target, text);
    if (!survived) noticed += 1;
    else if (EQUAL.some((equal) => equal.file === change.name && equal.line === change.lineText && equal.was === change.was && equal.put === change.put)) listed += 1;
    else {
      survivors.push(change);
      console.log(`survived ${from + at}: ${change.name}.ts:${change.line} "${change.was}" -> "${change.put}" in: ${change.lineText}`);
    }
  }
} finally {
  rmSync(place, { recursive: true, force: true });
}
console.log(`${noticed} noticed, ${listed} listed as equal, ${survivors.length} survived`);
process.exitCode = survivors.length === 0 ? 0 : 1;
