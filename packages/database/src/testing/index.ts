export { cloneDatabase, type TestDatabase } from './clone.js';
export * from './builders.js';
export { toolsAt } from './tools.js';
