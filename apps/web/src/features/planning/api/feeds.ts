import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { planningKeys } from './week.js';

export const useFeeds = () => useAsk(planningKeys, routes.listFeeds, {}, { about: ['feed'] });
export const useFeedOwners = () => useAsk(planningKeys, routes.listTechnicians, { limit: 200 }, { about: ['technician'] });
export const useOpenFeed = () => useAct(routes.openFeed, { refresh: [planningKeys.route(routes.listFeeds)] });
export const useRevokeFeed = () => useAct(routes.revokeFeed, { refresh: [planningKeys.route(routes.listFeeds)] });
