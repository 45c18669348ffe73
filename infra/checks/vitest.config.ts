import { defineConfig } from 'vitest/config';

// Packages are read by their source (the 'source' condition), so no test needs a build of ours first.
const conditions = ['source', 'module', 'node', 'development|production'];
const shared = {
  resolve: { conditions },
  ssr: { resolve: { conditions } },
};
const root = new URL('../..', import.meta.url).pathname;

export default defineConfig({
  root,
  test: {
    projects: [
      {
        ...shared,
        root,
        test: {
          name: 'pure',
          // Pure code keeps nothing between files, so they share one start: four times less processor time than a process each.
          isolate: false,
          maxWorkers: 2,
          setupFiles: ['infra/checks/fast-check-seed.ts'],
          include: ['packages/{recurrence,acceptance,risk,planning,signals,proof,programmes,contracts,demo}/{src,published}/**/*.spec.ts', 'apps/{web,cli}/src/**/*.spec.ts', 'tests/boundaries/**/*.spec.ts'],
          testTimeout: 60_000,
        },
      },
      {
        ...shared,
        root,
        test: {
          name: 'real',
          include: ['packages/{database,operations}/src/**/*.spec.ts', 'apps/{api,worker}/src/**/*.spec.ts', 'tests/{tenancy,faults,load,published}/**/*.spec.ts'],
          globalSetup: ['packages/database/src/testing/global-setup.ts'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
          maxWorkers: 2,
        },
      },
      {
        ...shared,
        root,
        test: {
          name: 'e2e',
          globalSetup: ['packages/database/src/testing/global-setup.ts'],
          include: ['tests/e2e/**/*.spec.ts'],
          testTimeout: 240_000,
          hookTimeout: 120_000,
          maxWorkers: 1,
          fileParallelism: false,
        },
      },
    ],
  },
});
