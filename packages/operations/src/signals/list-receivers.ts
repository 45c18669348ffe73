import type { Receivers } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { receiversOf } from './steps.js';

/** SIG-OP-9. Where test signals are heard, by whose keys, and what came; never a key. */
export const listReceivers: Act<object, Receivers> = (ctx) => receiversOf(ctx);
