/**
 * Changes one comparison, one off-by-one, one least or most at a time in a package and runs its tests on the changed modules, in
 * memory: a change that no test notices is a survivor. The exit code is 1 when there is one that is not listed as equal, with its
 * reason, in PACKAGE-equal.json. The tests run in a thread without their usual runner (mutation-thread.mjs), so that a change costs
 * its tests' own time; a change that turns a loop into an endless one is stopped and counts as noticed.
 *
 *   node tests/mutation/PACKAGE.mjs [--files rolling,fixed] [--from 0] [--most 1000] [--patience 60]
 */
import { readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import ts from 'typescript';

const argument = (name, value) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? value : process.argv[at + 1];
};

const SWAPS = new Map([
  ['<', '<='], ['<=', '<'], ['>', '>='], ['>=', '>'], ['===', '!=='], ['!==', '==='], ['&&', '||'], ['||', '&&'], ['+', '-'], ['-', '+'],
]);

/** Every single change of a file: place, what stands there, what is put. */
function changesOf(home, name) {
  const text = readFileSync(join(home, 'src', `${name}.ts`), 'utf8');
  const source = ts.createSourceFile(`${name}.ts`, text, ts.ScriptTarget.ES2023, true);
  const changes = [];
  const add = (start, end, put) => {
    const { line } = source.getLineAndCharacterOfPosition(start);
    changes.push({ name, was: text.slice(start, end), put, line: line + 1, lineText: text.split('\n')[line].trim(), changed: text.slice(0, start) + put + text.slice(end) });
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
  return changes;
}

/** Asks a thread, and ends it when it answers nothing for too long. */
let thread = null;
function ask(workerData, patience, question) {
  thread ??= new Worker(new URL('./mutation-thread.mjs', import.meta.url), { workerData, env: { ...process.env, BELLROUND_AGREEMENT_RULES: '600' } });
  const asked = thread;
  return new Promise((answer, fault) => {
    const done = (value) => {
      clearInterval(timer);
      asked.off('message', done);
      asked.off('error', broken);
      answer(value);
    };
    const broken = (error) => {
      clearInterval(timer);
      fault(error);
    };
    const start = process.cpuUsage();
    const timer = setInterval(() => {
      const { user, system } = process.cpuUsage(start);
      if (user + system < patience * 1e6) return;
      thread = null;
      clearInterval(timer);
      void asked.terminate().then(() => done({ failed: 'it ran for too long' }));
    }, 1000);
    asked.on('message', done);
    asked.on('error', broken);
    asked.postMessage(question);
  });
}

/**
 * @param name the package's folder
 * @param specs the tests of each source file, the quick ones first: what they notice need not wait for the properties
 * @param modules modules that the package imports and that cannot be required
 */
export async function mutate({ name: of, specs: SPECS, modules = [] }) {
  const home = join(resolve(dirname(fileURLToPath(import.meta.url)), '../..'), 'packages', of);
  const files = argument('files', Object.keys(SPECS).join(',')).split(',');
  const from = Number(argument('from', 0));
  const most = Number(argument('most', 10_000));
  /** Seconds of processor time after which a change is taken for an endless loop. */
  const patience = Number(argument('patience', 60));
  /** Changes that give the same answers, each with its reason. Matched on file and the whole line. */
  const EQUAL = JSON.parse(readFileSync(new URL(`./${of}-equal.json`, import.meta.url), 'utf8'));
  let noticed = 0;
  let listed = 0;
  const survivors = [];
  const all = files.flatMap((name) => changesOf(home, name)).slice(from, from + most);
  for (const specs of new Set(files.map((name) => SPECS[name]))) {
    const { failed, ran } = await ask({ home, modules }, patience, { specs, change: null });
    if (failed) throw new Error(`the tests do not pass on the unchanged source: ${failed}`);
    console.log(`${ran} tests pass unchanged: ${specs.join(', ')}`);
  }
  console.log(`${all.length} changes in ${files.join(', ')}`);
  for (const [at, change] of all.entries()) {
    const { failed } = await ask({ home, modules }, patience, { specs: SPECS[change.name], change: { name: change.name, text: change.changed } });
    if (process.env.MUTATION_TELLS) console.log(`${from + at} ${change.name}.ts:${change.line} "${change.was}" -> "${change.put}": ${failed ?? 'survived'}`);
    if (failed) noticed += 1;
    else if (EQUAL.some((equal) => equal.file === change.name && equal.line === change.lineText && equal.was === change.was && equal.put === change.put)) listed += 1;
    else {
      survivors.push(change);
      console.log(`survived ${from + at}: ${change.name}.ts:${change.line} "${change.was}" -> "${change.put}" in: ${change.lineText}`);
    }
  }
  await thread?.terminate();
  console.log(`${noticed} noticed, ${listed} listed as equal, ${survivors.length} survived`);
  process.exitCode = survivors.length === 0 ? 0 : 1;
}
