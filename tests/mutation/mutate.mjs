/**
 * Changes one comparison, one off-by-one, one least or most at a time in a package and runs its tests on the changed modules, in
 * memory: a change that no test notices is a survivor. The exit code is 1 when there is one that is not listed as equal, with its
 * reason, in PACKAGE-equal.json. The tests run in a thread without their usual runner (mutation-thread.mjs), so that a change costs
 * its tests' own time. Each file's tests run once on the unchanged source with a mark at every place, and a change is then shown only
 * to the tests that come to its place, the quick ones first. A change that turns a loop into an endless one is stopped and counts as noticed.
 * Changes listed as equal are counted without running; with --equal yes they are run too, and one that a test notices counts as noticed.
 *
 *   node tests/mutation/PACKAGE.mjs [--files rolling,fixed] [--from 0] [--most 1000] [--patience 5] [--equal yes]
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

/** Every single change of a file: place, what stands there, what is put; and the file with a mark at each place. */
function changesOf(home, name, firstPlace) {
  const text = readFileSync(join(home, 'src', `${name}.ts`), 'utf8');
  const source = ts.createSourceFile(`${name}.ts`, text, ts.ScriptTarget.ES2023, true);
  const changes = [];
  const marks = [];
  const add = (node, start, end, put) => {
    let place = marks.findIndex((mark) => mark.node === node);
    if (place < 0) place = marks.push({ node, start: node.getStart(), end: node.getEnd() }) - 1;
    const { line } = source.getLineAndCharacterOfPosition(start);
    changes.push({ name, place: firstPlace + place, was: text.slice(start, end), put, line: line + 1, lineText: text.split('\n')[line].trim(), changed: text.slice(0, start) + put + text.slice(end) });
  };
  const visit = (node) => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isTemplateExpression(node) || ts.isThrowStatement(node)) return;
    if (ts.isBinaryExpression(node)) {
      const sign = node.operatorToken.getText();
      if (SWAPS.has(sign)) add(node, node.operatorToken.getStart(), node.operatorToken.getEnd(), SWAPS.get(sign));
      if ((sign === '+' || sign === '-') && node.right.getText() === '1') add(node, node.right.getStart(), node.right.getEnd(), '0');
    }
    if (ts.isPropertyAccessExpression(node) && node.expression.getText() === 'Math' && ['min', 'max'].includes(node.name.text)) {
      add(node, node.name.getStart(), node.name.getEnd(), node.name.text === 'min' ? 'max' : 'min');
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return { changes, marked: marked(text, marks, firstPlace), places: marks.length };
}

/** The text with each node as `(__hit(place), node)`; of nodes that begin or end together the longer one is outside. */
function marked(text, marks, firstPlace) {
  const puts = marks.flatMap(({ start, end }, place) => [
    { at: start, order: [1, start - end], put: `(__hit(${firstPlace + place}), ` }, { at: end, order: [0, end - start], put: ')' },
  ]).sort((a, b) => a.at - b.at || a.order[0] - b.order[0] || a.order[1] - b.order[1]);
  let out = '';
  let from = 0;
  for (const { at, put } of puts) {
    out += text.slice(from, at) + put;
    from = at;
  }
  return out + text.slice(from);
}

/** Asks a thread, and ends it when a test takes far longer than it did on the unchanged source. */
let thread = null;
function ask(workerData, patience, question) {
  thread ??= new Worker(new URL('./mutation-thread.mjs', import.meta.url), { workerData, env: { ...process.env, BELLROUND_AGREEMENT_RULES: '600' } });
  const asked = thread;
  return new Promise((answer, fault) => {
    let start = process.cpuUsage();
    let most = patience(null);
    const end = () => {
      clearInterval(timer);
      asked.off('message', told);
      asked.off('error', broken);
    };
    const told = (message) => {
      if (message.at !== undefined) {
        start = process.cpuUsage();
        most = patience(message.at);
        return;
      }
      end();
      answer(message);
    };
    const broken = (error) => {
      end();
      fault(error);
    };
    const timer = setInterval(() => {
      const { user, system } = process.cpuUsage(start);
      if (user + system < most * 1e6) return;
      thread = null;
      end();
      void asked.terminate().then(() => answer({ failed: 'it ran for too long' }));
    }, 250);
    asked.on('message', told);
    asked.on('error', broken);
    asked.postMessage(question);
  });
}

/**
 * @param name the package's folder
 * @param specs the tests of each source file
 * @param modules modules that the package imports and that cannot be required
 */
export async function mutate({ name: of, specs: SPECS, modules = [] }) {
  const home = join(resolve(dirname(fileURLToPath(import.meta.url)), '../..'), 'packages', of);
  const files = argument('files', Object.keys(SPECS).join(',')).split(',');
  const from = Number(argument('from', 0));
  const most = Number(argument('most', 10_000));
  /** Seconds of processor time, beside ten times what the test took unchanged, after which a change is taken for an endless loop. */
  const patience = Number(argument('patience', 5));
  /** Changes that give the same answers, each with its reason. Matched on file and the whole line. */
  const EQUAL = JSON.parse(readFileSync(new URL(`./${of}-equal.json`, import.meta.url), 'utf8'));
  let noticed = 0;
  let listed = 0;
  const survivors = [];
  const all = [];
  const testsOf = new Map();
  let places = 0;
  for (const specs of new Set(files.map((name) => SPECS[name]))) {
    const names = files.filter((name) => SPECS[name] === specs);
    const shown = [];
    for (const name of names) {
      const file = changesOf(home, name, places);
      places += file.places;
      all.push(...file.changes);
      shown.push({ name, text: file.marked });
    }
    const { failed, tests } = await ask({ home, modules }, () => 600, { specs, changes: shown });
    if (failed) throw new Error(`the tests of ${names.join(', ')} do not pass on the unchanged source: ${failed}`);
    console.log(`${names.join(', ')}: ${tests.length} tests pass unchanged in ${tests.reduce((sum, test) => sum + test.seconds, 0).toFixed(1)} s`);
    testsOf.set(specs, tests.map((test) => ({ ...test, places: new Set(test.places) })).sort((one, other) => one.seconds - other.seconds));
  }
  const some = all.slice(from, from + most);
  console.log(`${some.length} changes in ${files.join(', ')}`);
  for (const [at, change] of some.entries()) {
    const isListed = EQUAL.some((equal) => equal.file === change.name && equal.line === change.lineText && equal.was === change.was && equal.put === change.put);
    if (isListed && argument('equal') === undefined) {
      listed += 1;
      continue;
    }
    const tests = testsOf.get(SPECS[change.name]).filter((test) => test.places.has(change.place));
    const took = new Map(tests.map((test) => [test.at, test.seconds]));
    const { failed } = await ask({ home, modules }, (test) => patience + 10 * (took.get(test) ?? 1), { specs: SPECS[change.name], changes: [{ name: change.name, text: change.changed }], wanted: tests.map((test) => test.at) });
    if (process.env.MUTATION_TELLS) console.log(`${from + at} ${change.name}.ts:${change.line} "${change.was}" -> "${change.put}": ${failed ?? 'survived'}`);
    if (failed) noticed += 1;
    else if (isListed) listed += 1;
    else {
      survivors.push(change);
      console.log(`survived ${from + at}: ${change.name}.ts:${change.line} "${change.was}" -> "${change.put}" in: ${change.lineText}`);
    }
  }
  await thread?.terminate();
  console.log(`${noticed} noticed, ${listed} listed as equal, ${survivors.length} survived`);
  process.exitCode = survivors.length === 0 ? 0 : 1;
}
