import { keysOf } from '../../../shared/query.js';

export const fleetKeys = keysOf('fleet');
