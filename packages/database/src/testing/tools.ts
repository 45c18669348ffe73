import { nodeTools } from '../node-tools.js';
import { anId } from './builders.js';

/** What an act is given in a test: the test's own clock, ids in order, a fixed seed. */
export const toolsAt = (clock: { now: Date }) => ({ now: () => clock.now, newId: anId, sha256: nodeTools.sha256, seed: () => 1 });
