import { keysOf } from '../../../shared/query.js';

export const identityKeys = keysOf('identity');
