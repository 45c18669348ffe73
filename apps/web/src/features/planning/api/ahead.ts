import { routes } from '@bellround/contracts';
import { useAsk } from '../../../shared/query.js';
import { planningKeys } from './week.js';

export const useSqueeze = (days: number, counting: 'visit' | 'checks') => useAsk(planningKeys, routes.showSqueeze, { days, counting }, { about: ['standing', 'technician', 'import'], keep: true });
export const useCapacity = (weeks: number, leaveWeeks: number) => useAsk(planningKeys, routes.capacityFacts, { weeks, leaveWeeks }, { about: ['standing', 'technician', 'import'], staleTime: 5 * 60_000, keep: true });
