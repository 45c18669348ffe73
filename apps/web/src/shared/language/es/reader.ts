import { dayShort } from '../../days.js';
import { asRead } from '../../numbers.js';
import { readerOf } from '../read-back.js';
import acceptance from './acceptance.json' with { type: 'json' };
import kinds from './check-kinds.json' with { type: 'json' };
import checks from './checks.json' with { type: 'json' };
import library from './library.json' with { type: 'json' };
import operations from './operations.json' with { type: 'json' };
import planning from './planning.json' with { type: 'json' };
import problems from './problems.json' with { type: 'json' };
import recurrence from './recurrence.json' with { type: 'json' };
import refusals from './refusals.json' with { type: 'json' };
import risk from './risk.json' with { type: 'json' };
import signals from './signals.json' with { type: 'json' };
import terms from './terms.json' with { type: 'json' };

export const reader = readerOf([library, operations, signals, kinds, risk, planning, recurrence, acceptance, checks, problems, refusals, terms], { number: asRead, day: dayShort });
