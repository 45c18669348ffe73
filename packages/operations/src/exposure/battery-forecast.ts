import type { BatteryForecastView } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { forecastBatteries } from './steps.js';

/** Standby batteries expected to fail, by month and rating. */
export const batteryForecastOf: Act<{ months: number }, BatteryForecastView> = async (ctx, { months }) => forecastBatteries(ctx, months);
