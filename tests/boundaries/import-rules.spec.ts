import { spawnSync } from 'node:child_process';
import { rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

// Proof that each import rule can fail: every forbidden import below is planted, and its own rule must fire on its file.
// Where pnpm does not even resolve an undeclared package, 'not-to-unresolvable' is the answer (marked *).
const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CASES: [rule: string, folder: string, line: string][] = [
  ['engine-acceptance-stands-alone*', 'packages/acceptance/src', `import { addDays as y } from '@bellround/recurrence';`],
  ['engine-acceptance-stands-alone', 'packages/acceptance/src', `import { Database as y } from '../../database/src/index.js';`],
  ['engines-no-node', 'packages/acceptance/src', `import { readFileSync as y } from 'node:fs';`],
  ['engines-npm-allowlist*', 'packages/acceptance/src', `import { z as y } from 'zod';`],
  ['contracts-zod-and-engine-types', 'packages/contracts/src', `import { judge as y } from '@bellround/acceptance';`],
  ['contracts-types-from-engines-only', 'packages/contracts/src', `import type { Tx } from '../../database/src/index.js'; const y = 0 as unknown as Tx;`],
  ['programmes-below-operations', 'packages/programmes/src', `import { createPerform as y } from '../../operations/src/index.js';`],
  ['operations-no-framework', 'packages/operations/src/identity', `import { openDoor as y } from '../../../../apps/api/src/main.js';`],
  ['operations-no-node', 'packages/operations/src/identity', `import y from 'node:process';`],
  ['acts-do-not-call-acts', 'packages/operations/src/identity', `import { addUser as y } from './add-user.js';`],
  ['acts-do-not-call-acts', 'packages/operations/src/identity', `import { nightlySweep as y } from '../reminders/nightly-sweep.js';`],
  ['demo-is-for-launchers', 'packages/operations/src/identity', `import { seedDemo as y } from '../../../demo/src/index.js';`],
  ['database-knows-nobody', 'packages/database/src', `import { Id as y } from '../../contracts/src/index.js';`],
  ['prisma-only-in-database*', 'apps/api/src/identity', `import y from 'pg';`],
  ['apps-do-not-import-apps', 'apps/worker/src', `import { openDoor as y } from '../../api/src/main.js';`],
  ['nobody-imports-an-app', 'packages/programmes/src', `import { openDoor as y } from '../../../apps/api/src/main.js';`],
  ['database-opened-in-main-only', 'apps/api/src/identity', `import { Database as y } from '@bellround/database';`],
  ['web-sees-contracts-and-engines', 'apps/web/src/shared', `import { addUser as y } from '../../../../packages/operations/src/index.js';`],
  ['web-no-node', 'apps/web/src/shared', `import { join as y } from 'node:path';`],
  ['no-deep-package-imports', 'apps/api/src/identity', `import { note as y } from '../../../../packages/operations/src/steps.js';`],
  ['src-not-to-tests', 'packages/operations/src/identity', `import { afterAll as y } from '../../../../tests/boundaries/import-rules.spec.js';`],
  ['declared-dependencies-only*', 'packages/operations/src/identity', `import y from 'fast-glob';`],
  ['not-to-unresolvable', 'packages/operations/src/identity', `import { y } from './nowhere.js';`],
];

const planted = CASES.map(([rule, folder, line], index) => ({ rule, line, file: `${folder}/zz-planted-${index}.ts` }));
let fired: { rule: string; from: string }[] = [];

// Only what was planted, one step far: that the house itself breaks no rule is its own part of the whole run.
function violations(): { rule: string; from: string }[] {
  const run = spawnSync(join(ROOT, 'node_modules/.bin/depcruise'), [...planted.map((one) => one.file), '--max-depth', '1', '--config', 'infra/checks/dependency-cruiser.cjs', '--output-type', 'json'], { cwd: ROOT, encoding: 'utf8', maxBuffer: 1e9 });
  const { summary } = JSON.parse(run.stdout) as { summary: { violations: { rule: { name: string }; from: string }[] } };
  return summary.violations.map((violation) => ({ rule: violation.rule.name, from: violation.from }));
}

beforeAll(() => {
  for (const one of planted) writeFileSync(join(ROOT, one.file), `${one.line}\nexport const x = y;\n`);
  try {
    fired = violations();
  } finally {
    for (const one of planted) rmSync(join(ROOT, one.file), { force: true });
  }
}, 120_000);
afterAll(() => planted.forEach((one) => rmSync(join(ROOT, one.file), { force: true })));

describe('import rules', () => {
  it.each(planted)('$rule refuses $line', ({ rule, file }) => {
    const name = rule.replace('*', '');
    const here = fired.filter((violation) => violation.from === file).map((violation) => violation.rule);
    expect(here).toEqual(expect.arrayContaining([rule.endsWith('*') && here.includes('not-to-unresolvable') ? 'not-to-unresolvable' : name]));
  });
});
