import { routes } from '@bellround/contracts';
import { useAsk } from '../../../shared/query.js';
import { exposureKeys } from './exposure.js';

export const useBatteryForecast = (months: number) => useAsk(exposureKeys, routes.batteryForecast, { months }, { about: ['exposure', 'check', 'deficiency'], keep: true });
