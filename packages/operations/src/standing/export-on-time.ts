import { csvLine, type OnTimeAsked } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { onTimeOf } from './steps.js';

const percent = (share: number | null): string => (share === null ? '' : (share * 100).toFixed(1));

/** On-time share by month as CSV, both figures side by side. */
export const exportOnTime: Act<OnTimeAsked, { asOf: string; csv: string }> = async (ctx, input) => {
  const { asOf, months, whole, from, to } = await onTimeOf(ctx, input);
  const head = csvLine(['month', 'windows_on_time', 'windows_late', 'windows_missed', 'windows_unknown', 'accounts_on_time', 'accounts_late', 'accounts_missed', 'accounts_unknown', 'accounts_untested',
    'on_time_percent_of_all_live_accounts', 'on_time_percent_of_those_on_the_schedule']);
  const line = (name: string, windows: string[], accounts: OnTimeAccounts): string => csvLine([name, ...windows,
    ...[accounts.onTime, accounts.late, accounts.missed, accounts.unknown, accounts.untested].map(String), percent(accounts.honest), percent(accounts.flattering)]);
  const sum = (key: 'onTime' | 'late' | 'missed' | 'unknown'): string => String(months.reduce((total, month) => total + month.windows[key], 0));
  return {
    asOf,
    csv: head + months.map((month) => line(month.month, [month.windows.onTime, month.windows.late, month.windows.missed, month.windows.unknown].map(String), month.accounts)).join('')
      + line(`${from} to ${to}`, [sum('onTime'), sum('late'), sum('missed'), sum('unknown')], whole),
  };
};
type OnTimeAccounts = Awaited<ReturnType<typeof onTimeOf>>['whole'];
