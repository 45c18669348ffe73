export * from './basics.js';
export * from './problems.js';
export * from './route.js';
export * from './identity.js';
export * from './door.js';
export * from './jobs.js';
export * from './settings.js';
export * from './routes.js';
