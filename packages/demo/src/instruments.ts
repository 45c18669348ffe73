import { addDays, localDate } from '@bellround/recurrence';

/** Kind, serial and how many days from today its calibration lasts; null: nobody knows. One ends soon, one has ended. */
const INSTRUMENTS = [['battery load tester', 'BT-204', 210], ['volt meter', 'VM-118', 96], ['volt meter', 'VM-121', -9], ['sound level meter', 'SL-31', 12], ['signal meter', 'RM-07', 301], ['smoke sensitivity meter', 'SS-2', null]] as const;

export interface DemoInstrument { readonly kind: string; readonly serial: string; readonly calibratedFrom: string | null; readonly calibratedTo: string | null }

/** What the technicians measure with; a calibration holds for a year (company rule of the invented company). */
export function demoInstruments(today: string): DemoInstrument[] {
  return INSTRUMENTS.map(([kind, serial, lasts]) => {
    const calibratedTo = lasts === null ? null : addDays(localDate(today), lasts);
    return { kind, serial, calibratedTo, calibratedFrom: calibratedTo === null ? null : addDays(calibratedTo, -365) };
  });
}
