import { routes } from '@bellround/contracts';
import { keysOf, useAsk } from '../../../shared/query.js';

export const signalsKeys = keysOf('signals');
const ABOUT = ['visit', 'path', 'account', 'check'];
export const useSilences = (days: number) => useAsk(signalsKeys, routes.listSilences, { days }, { about: ABOUT, keep: true });
