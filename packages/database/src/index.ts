export { Database, isRetryable, sqlState, type Bulk, type Scope, type Tx } from './scoped.js';
export { Prisma } from './generated/client.js';
export { defaultDataRoot, freePort, startEmbeddedPostgres, type EmbeddedPostgres } from './embedded.js';
export { ensureDatabase, migrate, prepareRoles, readSchema, type Connections } from './migrate.js';
export { schemaAsSql } from './schema-engine.js';
export * from './queries/reminders.js';
