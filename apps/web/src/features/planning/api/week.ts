import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const planningKeys = keysOf('planning');
export const ABOUT = ['week', 'visit', 'technician', 'import', 'deficiency'];
const refresh = [planningKeys.all];

export const useWeek = (weekStart: string, planId: string | null) => useAsk(planningKeys, routes.showWeek, { weekStart, ...(planId ? { planId } : {}) }, { about: ABOUT, keep: true });
/** Set by the house and not by the company: asked once. */
export const useMapGround = () => useAsk(planningKeys, routes.mapGround, {}, { about: ['map-ground'] });
export const useLooseEnds = () => useAsk(planningKeys, routes.listLooseEnds, {}, { about: [...ABOUT, 'message', 'lists'] });
export const useBestPlaces = (planId: string, visitId: string, enabled: boolean) => useAsk(planningKeys, routes.bestPlacesFor, { planId, visitId }, { enabled, about: ABOUT });
export const useStartPlan = (onDone: () => void) => useAct(routes.startPlan, { refresh, onDone });
export const useCancelPlan = () => useAct(routes.cancelPlan, { refresh });
export const usePreviewMove = () => useAct(routes.previewMove);
export const useMoveStop = (onDone: () => void) => useAct(routes.moveStop, { refresh, onDone });
export const usePinStop = () => useAct(routes.pinStop, { refresh });
export const usePublishPlan = (onDone: () => void) => useAct(routes.publishPlan, { refresh, onDone });
