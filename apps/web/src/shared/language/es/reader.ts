import { dayShort } from '../../format.js';
import { asRead } from '../../numbers.js';
import { readerOf } from '../read-back.js';
import acceptance from './acceptance.json' with { type: 'json' };
import kinds from './check-kinds.json' with { type: 'json' };
import checks from './checks.json' with { type: 'json' };
import terms from './terms.json' with { type: 'json' };

export const reader = readerOf([kinds, acceptance, checks, terms], { number: asRead, day: dayShort });
