// `npm test`: everything that CI runs, in one order, with one closing line. Works on a fresh machine with Node and npm.
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { userInfo } from 'node:os';
import { build, have, install, pnpm, requireNode, ROOT, run, say } from './toolchain.mjs';

requireNode();
const output = join(ROOT, 'output', 'tests');
rmSync(output, { recursive: true, force: true });
mkdirSync(output, { recursive: true });
let passed = 0;
let failed = 0;
let skipped = 0;
const broken = [];

say('installing what the lock file names');
await install();
say('building');
await build();
await systemPackage('chromium', ['chromium', 'chromium-browser', 'google-chrome'], 'end-to-end tests in Chromium');
await systemPackage('redis-server', ['redis-server'], 'queue tests on the Redis backend');

// Two at a time: a type check keeps one processor busy for as long as the other two need together.
await Promise.all([
  check('type check', ['exec', 'tsc', '-p', 'infra/checks/tsconfig.json']),
  (async () => {
    await check('lint', ['exec', 'eslint', '--config', 'infra/checks/eslint.config.mjs', 'apps', 'packages', 'tests']);
    await check('import directions', ['exec', 'depcruise', 'apps', 'packages', 'tests', '--config', 'infra/checks/dependency-cruiser.cjs']);
  })(),
]);
await suite('pure', 'unit, published and property tests');
await suite('real', 'tests on real Postgres and queues');
await suite('e2e', 'end to end in Chromium');

if (broken.length > 0) process.stdout.write(`\nBroken:\n${broken.map((line) => `  ${line}`).join('\n')}\n`);
process.stdout.write(`\n${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}\n`);
process.exit(failed > 0 || passed === 0 ? 1 : 0);

/** One whole-house check counts as one test. */
async function check(name, args) {
  say(name);
  const result = await pnpm(args);
  if (result.code === 0) {
    passed += 1;
  } else {
    failed += 1;
    broken.push(name);
    process.stdout.write(`${result.said.slice(-8000)}\n`);
  }
}

async function suite(project, words) {
  say(words);
  const file = join(output, `${project}.json`);
  const result = await pnpm(['exec', 'vitest', 'run', '--config', 'infra/checks/vitest.config.ts', '--project', project, '--reporter=dot', '--reporter=json', `--outputFile.json=${file}`], { show: true });
  let report;
  try {
    report = JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    failed += 1;
    broken.push(`${words}: no report (exit ${result.code})`);
    return;
  }
  passed += report.numPassedTests;
  failed += report.numFailedTests;
  skipped += report.numPendingTests + report.numTodoTests;
  for (const one of report.testResults) {
    for (const test of one.assertionResults.filter((result) => result.status === 'failed')) broken.push(`${one.name.replace(ROOT, '')}: ${test.fullName}`);
    if (one.status === 'failed' && one.assertionResults.length === 0) { failed += 1; broken.push(`${one.name.replace(ROOT, '')}: ${one.message}`); }
  }
  // A run that fails outside any test (a leak, an unhandled error) must not pass.
  if (result.code !== 0 && report.numFailedTests === 0 && report.success !== false) { failed += 1; broken.push(`${words}: exit ${result.code} with no failed test`); }
}

/** Installs a system package where that is possible; says loudly when not, and the suite that needs it says so again. */
async function systemPackage(name, commands, what) {
  if (commands.some(have)) return;
  if (process.platform === 'linux' && userInfo().uid === 0 && have('apt-get')) {
    say(`installing ${name} for ${what}`);
    await run('apt-get', ['update'], { env: { DEBIAN_FRONTEND: 'noninteractive' } });
    const result = await run('apt-get', ['install', '-y', '--no-install-recommends', name], { env: { DEBIAN_FRONTEND: 'noninteractive' } });
    if (result.code === 0 && commands.some(have)) return;
  }
  process.stdout.write(`\n!!! ${name} is neither installed nor installable here: ${what} CANNOT RUN. Install ${name} and run again.\n\n`);
}
