export * from './definition.js';
export type * from './facts.js';
export * from './judgement.js';
export { judge } from './judge.js';
export { missingReadings, readingProblems, type ReadingProblem } from './readings.js';
export { effectiveLimits, limitWords } from './judges/limits.js';
export { sourceWords } from './outcome.js';
