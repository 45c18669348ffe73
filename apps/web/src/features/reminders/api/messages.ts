import { routes, type AskOf } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const remindersKeys = keysOf('reminders');
export const MESSAGES_PER_PAGE = 50;
export const useMessages = (input: AskOf<typeof routes.listMessages>) => useAsk(remindersKeys, routes.listMessages, input, { about: ['message', 'standing'], keep: true });
export const useLastSweep = () => useAsk(remindersKeys, routes.lastSweep, {}, { about: ['standing'] });
export const useSendAgain = () => useAct(routes.sendAgain, { refresh: [remindersKeys.all] });
