export { cloneDatabase, type TestDatabase } from './clone.js';
export * from './builders.js';
export { toolsAt } from './tools.js';
export { TableService } from './table-service.js';
