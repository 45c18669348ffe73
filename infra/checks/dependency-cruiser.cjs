/**
 * Import directions of the house. Each rule's `comment` is what a developer reads when it fires.
 * Targets match src AND dist on purpose: a package may be seen through its source or its built declarations,
 * and a rule that knows only one of them is blind to the other.
 */
const ENGINES = 'recurrence|acceptance|risk|planning|signals|proof';
const src = (names) => `^packages/(${names})/src/`;
const pkg = (names) => `^packages/(${names})/(src|dist)/`;
const npm = (names) => `/node_modules/(${names.join('|')})/`;
const TEST = '\\.(spec|test|bench)\\.[cm]?tsx?$|/src/testing/';

/** npm packages an engine may use; everything else is refused. */
const ENGINE_NPM = ['rrule', '@noble/hashes', '@noble/ciphers', '@noble/curves'];
/** engine -> engines it may import; none. */
const ENGINE_EDGES = {};

const engineEdges = ENGINES.split('|').map((engine) => {
  const allowed = [engine, ...(ENGINE_EDGES[engine] ?? [])];
  return {
    name: `engine-${engine}-stands-alone`,
    severity: 'error',
    comment: `packages/${engine} may import only ${allowed.join(', ')}. Pass data in instead.`,
    from: { path: src(engine), pathNot: TEST },
    to: { path: '^(packages|apps|tests)/', pathNot: pkg(allowed.join('|')) },
  };
});

module.exports = {
  forbidden: [
    { name: 'no-circular', severity: 'error', comment: 'Two files need each other: move what both need into a third.',
      from: {}, to: { circular: true } },
    { name: 'not-to-unresolvable', severity: 'error', comment: 'Import does not resolve; every other rule is blind to such an import.',
      from: {}, to: { couldNotResolve: true } },
    { name: 'declared-dependencies-only', severity: 'error', comment: 'Add the package to this package.json.',
      from: {}, to: { dependencyTypes: ['npm-no-pkg', 'npm-unknown'] } },
    { name: 'no-dev-dependencies-in-src', severity: 'error', comment: 'Shipped code may not import a devDependency.',
      from: { path: '^(apps|packages)/[^/]+/src/', pathNot: `${TEST}|vite-env\\.d\\.ts$` }, to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] } },
    { name: 'src-not-to-tests', severity: 'error', comment: 'Shipped code may not import test code.',
      from: { pathNot: `^tests/|${TEST}` }, to: { path: `^tests/|${TEST}` } },

    ...engineEdges,
    { name: 'engines-no-node', severity: 'error', comment: 'Engines run in the browser too: no fs, crypto, process, worker_threads. Take it as an argument.',
      from: { path: src(ENGINES), pathNot: TEST }, to: { dependencyTypes: ['core'] } },
    { name: 'engines-npm-allowlist', severity: 'error', comment: 'Engines use only the packages listed in ENGINE_NPM.',
      from: { path: src(ENGINES), pathNot: TEST }, to: { path: '/node_modules/', pathNot: npm(ENGINE_NPM) } },

    { name: 'contracts-zod-and-engine-types', severity: 'error', comment: 'Contracts know zod, and the TYPES of engines; never their code, never operations or database.',
      from: { path: src('contracts'), pathNot: TEST },
      to: { path: '^(packages|apps|tests)/|/node_modules/', pathNot: [pkg('contracts'), npm(['zod'])], dependencyTypesNot: ['type-only'] } },
    { name: 'contracts-types-from-engines-only', severity: 'error', comment: 'Contracts may take types from engines and programmes only.',
      from: { path: src('contracts') }, to: { path: '^(packages|apps)/', pathNot: pkg(`contracts|programmes|${ENGINES}`) } },
    { name: 'programmes-below-operations', severity: 'error', comment: 'programmes is data plus its validator: engines and zod only.',
      from: { path: src('programmes'), pathNot: TEST },
      to: { path: '^(packages|apps)/|/node_modules/', pathNot: [pkg(`programmes|${ENGINES}`), npm(['zod'])] } },
    { name: 'demo-is-for-launchers', severity: 'error', comment: 'Only the terminal door and tests may load the invented company.',
      from: { path: '^(apps|packages)/', pathNot: ['^packages/demo/', '^apps/cli/src/', TEST] }, to: { path: pkg('demo') } },

    { name: 'operations-no-framework', severity: 'error', comment: 'Acts know no door: no Nest, Fastify, BullMQ, Prisma, React. The context carries what they need.',
      from: { path: src('operations'), pathNot: TEST },
      to: { path: ['/node_modules/(@nestjs|fastify|@fastify|bullmq|ioredis|pg|@prisma|react)/', '^apps/'] } },
    { name: 'operations-no-node', severity: 'error', comment: 'Acts read no clock, file or environment.',
      from: { path: src('operations'), pathNot: TEST }, to: { dependencyTypes: ['core'] } },
    { name: 'acts-do-not-call-acts', severity: 'error',
      comment: "An act is called by doors only (one act = one transaction). What two acts share lives in the capability's steps.ts.",
      from: { path: '^packages/operations/src/[^/]+/', pathNot: TEST },
      to: { path: '^packages/operations/src/[^/]+/', pathNot: '^packages/operations/src/[^/]+/steps\\.ts$' } },

    { name: 'database-knows-nobody', severity: 'error', comment: 'database is below operations and doors; others only as types.',
      from: { path: src('database'), pathNot: TEST },
      to: { path: '^(packages|apps)/', pathNot: pkg('database'), dependencyTypesNot: ['type-only'] } },
    { name: 'prisma-only-in-database', severity: 'error', comment: 'Only packages/database sees Prisma or pg; others get a company-scoped tx.',
      from: { path: '^(apps|packages)/', pathNot: '^packages/database/' }, to: { path: '/node_modules/(@prisma|prisma|pg|postgres)/' } },

    { name: 'apps-do-not-import-apps', severity: 'error', comment: 'Doors do not know each other.',
      from: { path: '^apps/([^/]+)/' }, to: { path: '^apps/', pathNot: '^apps/$1/' } },
    { name: 'nobody-imports-an-app', severity: 'error', comment: 'Apps are leaves.',
      from: { path: '^packages/' }, to: { path: '^apps/' } },
    { name: 'database-opened-in-main-only', severity: 'error', comment: 'A door opens the database in main.ts and hands it to perform(); controllers and processors call acts.',
      from: { path: '^apps/[^/]+/src/', pathNot: ['^apps/[^/]+/src/main\\.ts$', TEST] },
      // its type may be named where main.ts hands it on (relay, timetable); only main.ts has the value
      to: { path: pkg('database'), dependencyTypesNot: ['type-only'] } },
    { name: 'web-sees-contracts-and-engines', severity: 'error', comment: 'The browser never gets operations, database, demo.',
      from: { path: '^apps/web/src/' }, to: { path: '^packages/', pathNot: pkg(`contracts|${ENGINES}`) } },
    { name: 'web-no-node', severity: 'error', comment: 'The browser has no node built-ins.',
      from: { path: '^apps/web/src/', pathNot: TEST }, to: { dependencyTypes: ['core'] } },
    { name: 'web-features-stand-alone', severity: 'error', comment: 'Features do not import each other; a route in src/app composes them.',
      from: { path: '^apps/web/src/features/([^/]+)/' }, to: { path: '^apps/web/src/(features|app)/', pathNot: '^apps/web/src/features/$1/' } },
    { name: 'web-shared-is-below', severity: 'error', comment: 'shared/ knows no feature and no route.',
      from: { path: '^apps/web/src/shared/' }, to: { path: '^apps/web/src/(features|app)/' } },
    { name: 'no-deep-package-imports', severity: 'error', comment: 'Import a package by its name; its index.ts is its door.',
      from: { path: '^(apps|packages|tests)/([^/]+)/' }, to: { path: '^packages/[^/]+/(src|dist)/(?!index\\.|testing/index\\.)', pathNot: '^$1/$2/' } },
  ],
  options: {
    doNotFollow: { path: ['node_modules', '^packages/[^/]+/dist/', '^packages/database/src/generated/'] },
    // Excluding 'dist' would remove the target of an import and with it the violation. Only an app's own output is left out.
    exclude: { path: '^apps/[^/]+/dist/' },
    tsPreCompilationDeps: 'specify', // keeps type-only imports visible AND labelled
    combinedDependencies: false,     // each package answers for its own package.json
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['source', 'types', 'import', 'node', 'default'],
      mainFields: ['types', 'module', 'main'],
      extensions: ['.ts', '.tsx', '.d.ts', '.js', '.mjs', '.cjs', '.json'],
    },
  },
};
