import { csvLine, neutralised } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { forecastBatteries } from './steps.js';

/** The forecast as CSV: one line per rating and month, then nothing else, so that it can be summed. */
export const exportBatteryForecast: Act<{ months: number }, { from: string; csv: string }> = async (ctx, { months }) => {
  const forecast = await forecastBatteries(ctx, months);
  const head = csvLine(['rated_ah', 'month_from', 'expected_failures', 'within_90_percent', 'failed_now', 'in_service', 'order_now']);
  const lines = forecast.ratings.flatMap((rating) => forecast.months.map((month, at) => csvLine([
    neutralised(rating.ratedMah === null ? 'unknown' : String(rating.ratedMah / 1000)), month, rating.expected[at]!.toFixed(2), String(rating.upper[at]), at === 0 ? String(rating.failedNow) : '0', String(rating.inService), at === 0 ? String(rating.orderNow) : '0',
  ])));
  return { from: forecast.from, csv: head + lines.join('') };
};
