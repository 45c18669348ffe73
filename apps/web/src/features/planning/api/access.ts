import { routes } from '@bellround/contracts';
import { useAct } from '../../../shared/query.js';
import { planningKeys } from './week.js';

const refresh = [planningKeys.all];

export const useAgreeDate = (onDone: () => void) => useAct(routes.agreeDate, { refresh, onDone });
export const useNoteAttempt = (onDone: () => void) => useAct(routes.recordAttempt, { refresh, onDone });
