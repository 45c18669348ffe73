export * from './programme.js';
export * from './duties-for.js';
export * from './credits.js';
export * from './diff-programmes.js';
export * from './programme-problems.js';
export * from './library/index.js';
export * from './catalogue/index.js';
export * from './check-duties.js';
export { checksGuide } from './checks-guide.js';
