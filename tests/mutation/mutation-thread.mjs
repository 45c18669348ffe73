/**
 * Runs spec files on sources of which one may be changed, without their usual runner: modules are made anew for every question,
 * so nothing that one change computed and kept is seen by the next. Answers with the first test that fails, or null; or, asked to
 * cover, with what each test costs and which places of the source it comes through.
 */
import { existsSync, readFileSync, realpathSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parentPort, workerData } from 'node:worker_threads';
import ts from 'typescript';

const { home, modules } = workerData;
const outside = createRequire(join(home, 'package.json'));
const runnerPlace = createRequire(join(realpathSync(join(home, 'node_modules/vitest')), 'package.json'));
const importFrom = async (place, name) => import(pathToFileURL(place.resolve(name)).href);

// What the specs import that is not their own, loaded once.
const chai = await importFrom(runnerPlace, 'chai').catch(async () => importFrom(createRequire(runnerPlace.resolve('@vitest/expect')), 'chai'));
const { JestChaiExpect, JestExtend, JestAsymmetricMatchers } = await importFrom(runnerPlace, '@vitest/expect');
for (const plugin of [JestExtend, JestChaiExpect, JestAsymmetricMatchers]) chai.use(plugin);
const { expect: chaiExpect } = chai;
const fastCheck = outside('fast-check');
fastCheck.configureGlobal({ endOnFailure: true });
const ical = await importFrom(outside, 'ical.js').catch(() => null);
// a module that cannot be required is named by the package's script
const loaded = new Map(await Promise.all((modules ?? []).map(async (name) => [name, await importFrom(outside, name)])));

/** A spec's tests in the order it names them. */
function collector(tests) {
  const add = (name, ...rest) => tests.push({ name, spec: tests.spec, act: rest.find((one) => typeof one === 'function') });
  const it = Object.assign(add, {
    each: (rows) => (name, act) => rows.forEach((row, at) => tests.push({ name: `${name} (${at})`, spec: tests.spec, act: () => (Array.isArray(row) ? act(...row) : act(row)) })),
  });
  return { describe: (_, act) => act(), it, expect: Object.assign((value, words) => chaiExpect(value, words), chaiExpect) };
}

const compiled = new Map();
function compile(path, text) {
  return ts.transpileModule(text.replaceAll('import.meta.url', '__url'), { fileName: path, compilerOptions: { module: ts.ModuleKind.CommonJS, target: ts.ScriptTarget.ES2023, esModuleInterop: true } }).outputText;
}
function codeOf(path) {
  if (!compiled.has(path)) compiled.set(path, compile(path, readFileSync(path, 'utf8')));
  return compiled.get(path);
}

function loader(changes, tests, hit) {
  const changed = new Map(changes.map(({ name, text }) => [join(home, 'src', `${name}.ts`), text]));
  const modules = new Map();
  const spec = collector(tests);
  const load = (path) => {
    const held = modules.get(path);
    if (held) return held.exports;
    const module = { exports: {} };
    modules.set(path, module);
    const code = changed.has(path) ? compile(path, changed.get(path)) : codeOf(path);
    const require = (name) => {
      if (name.startsWith('.')) return load(resolve(dirname(path), name.replace(/\.js$/, '.ts')));
      if (name === 'vitest') return spec;
      if (name === 'fast-check') return { __esModule: true, default: fastCheck, ...fastCheck };
      if (name === 'ical.js') return { __esModule: true, default: ical.default };
      return loaded.get(name) ?? outside(name);
    };
    new Function('exports', 'require', 'module', '__url', '__hit', code)(module.exports, require, module, pathToFileURL(path).href, hit);
    return module.exports;
  };
  return load;
}

const noHit = () => undefined;

/** What each test of these specs costs and comes through, on sources with a mark at every place that will be changed. */
async function cover(specs, changes) {
  const tests = [];
  let hits = new Set();
  const load = loader(changes, tests, (place) => hits.add(place));
  const since = (before) => before.size === 0 ? [...hits] : [...new Set([...hits, ...before])];
  // what runs as the module is read concerns every test
  for (const { name } of changes) load(join(home, 'src', `${name}.ts`));
  const always = hits;
  const told = [];
  for (const spec of specs) {
    const path = join(home, `${spec}.spec.ts`);
    if (!existsSync(path)) continue;
    tests.spec = spec;
    hits = new Set();
    load(path);
    const ofSpec = new Set([...always, ...hits]);
    for (let at = told.length; at < tests.length; at += 1) {
      hits = new Set();
      const start = process.cpuUsage();
      await tests[at].act();
      const { user, system } = process.cpuUsage(start);
      told.push({ spec, at, seconds: (user + system) / 1e6, places: since(ofSpec) });
    }
  }
  return { tests: told };
}

/** The first of these tests that fails on the changed source. Places of tests are those of a run over all the specs. */
async function run(specs, changes, wanted) {
  const tests = [];
  let failed = null;
  try {
    const load = loader(changes, tests, noHit);
    for (const spec of specs) {
      const path = join(home, `${spec}.spec.ts`);
      tests.spec = spec;
      if (existsSync(path)) load(path);
    }
    for (const at of wanted) {
      failed = tests[at].name;
      parentPort.postMessage({ at });
      await tests[at].act();
      failed = null;
    }
  } catch (error) {
    failed = `${failed ?? 'before any test'}: ${String(error?.message ?? error).slice(0, 300)}`;
  }
  return { failed };
}

parentPort.on('message', async ({ specs, changes, wanted }) => {
  try {
    parentPort.postMessage(wanted === undefined ? await cover(specs, changes) : await run(specs, changes, wanted));
  } catch (error) {
    parentPort.postMessage({ failed: String(error?.message ?? error).slice(0, 300) });
  }
});
