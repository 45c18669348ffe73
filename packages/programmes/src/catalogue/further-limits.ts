/** A number in the code that decides something beside the limits of checks, and where it comes from. `code` is the very text in `file`. */
export interface FurtherLimit { readonly what: string; readonly limit: string; readonly then: string; readonly source: string; readonly file: string; readonly code: string }

const rule = 'company rule';
const practice = 'common practice';
const memory = 'from memory';
const row = (file: string, code: string, what: string, limit: string, then: string, source: string): FurtherLimit => ({ what, limit, then, source, file, code });
const acceptance = 'packages/acceptance/src/';
const signals = 'packages/signals/src/';
const operations = 'packages/operations/src/';
const contracts = 'packages/contracts/src/';

/** Numbers of the judging that stand in no row of a check. */
const judging: readonly FurtherLimit[] = [
  row(`${acceptance}radio/drop.ts`, 'STEP_DB = 6', 'Radio margin, fall between two visits', 'more than 6 dB beyond the usual step', 'a step change: a deficiency until the margin is good again', practice),
  row(`${acceptance}radio/drop.ts`, 'LEAST_TOGETHER = 3', 'Sensors of one receiver that fell together', '3 or more devices', 'one finding on the receiver', practice),
  row(`${acceptance}radio/drop.ts`, 'SPREAD_DB = 4', 'Falls that are alike', 'within 4 dB of their median', 'count as together', practice),
  row(`${acceptance}radio/drop.ts`, '0.75 * dropDb', 'Share of a fall that names its cause', 'three quarters of it by noise or by level', 'else both are named', rule),
  row(`${acceptance}hints.ts`, '0.05 * sourceV', 'Voltage lost on the way', 'more than 5 % of the source', 'held against the cable', rule),
  row(`${acceptance}hints.ts`, '0.03 * sourceV', 'Voltage lost beyond the expected drop', 'more than 3 % of the source', 'not explained by the cable', rule),
  row(`${acceptance}hints.ts`, 'shortDb <= 10', 'Level below what distance and walls would give', 'more than 10 dB', 'not explained by distance and walls', rule),
  row(`${acceptance}judges/battery.ts`, 'share < 5', 'Load of the field load test', 'less than 5 % of the rated capacity', 'the voltage says little, told beside it', 'load 5 to 10 % of Ah, practitioner, UK fire forum (SEEN-R)'),
  row(`${acceptance}judges/battery.ts`, 'measuredPct < 85', 'Measured capacity', 'below 85 %', 'replace at the next scheduled test, told beside it', 'NFPA 72, 2019 and later (SEEN-R)'),
  row(`${acceptance}judges/battery.ts`, 'addMonths(it.now, 24)', 'Capacity forecast to meet its limit', 'within 24 months', 'a finding; later only told', rule),
  row(`${acceptance}judges/wireless.ts`, 'addMonths(it.now, 24)', 'Radio margin forecast to meet its limit', 'within 24 months', 'a finding; later only told', rule),
  row(`${acceptance}reading-trends.ts`, 'nearMonths = 24', 'Any reading forecast to meet its limit', 'within 24 months', 'a finding; later only told', rule),
  row(`${acceptance}statistics/trend.ts`, 'points.length < 3', 'Dates that a trend needs', '3 dates', 'fewer tell none', practice),
  row(`${acceptance}statistics/trend.ts`, 'horizonDays = 50 * daysPerYear', 'Forecast', 'no further than 50 years', 'no date is told', rule),
  row(`${acceptance}judges/path.ts`, 'limit * 0.1', 'Time of a path, near its limit', 'less than 10 % of the limit to spare', 'warns', rule),
  row(`${acceptance}judges/sound.ts`, 'margin < 3', 'Sound level, near its limit', 'less than 3 dB to spare', 'warns', rule),
  row(`${acceptance}sound/level.ts`, '< 3 ? null', 'Level above background', 'less than 3 dB', 'the source alone can\'t be told', memory),
  row(`${acceptance}responses.ts`, 'delayedS = 3600', 'A report held back on purpose', 'for 1 h or more', 'pending after the visit, never missing at its end', rule),
  row(`${acceptance}judgement.ts`, 'reason.length < 10', 'Reason for a better verdict than the computed one', 'at least 10 characters', 'refused', rule),
  row(`${acceptance}power/ageing.ts`, "{ years: 5, shape: 2 }", 'Design life at 25 °C, sealed lead-acid', '5 years, falling with the square of its age', 'expected capacity where none was measured', `life ${practice}, curve ${rule}`),
  row(`${acceptance}power/ageing.ts`, "{ years: 12, shape: 2 }", 'Design life at 25 °C, vented lead-acid', '12 years, falling with the square of its age', 'expected capacity where none was measured', `life ${practice}, curve ${rule}`),
  row(`${acceptance}power/ageing.ts`, "{ years: 10, shape: 1 }", 'Design life at 25 °C, nickel-cadmium', '10 years, falling evenly', 'expected capacity where none was measured', `life ${practice}, curve ${rule}`),
  row(`${acceptance}power/ageing.ts`, "{ years: 8, shape: 1 }", 'Design life at 25 °C, lithium-ion', '8 years, falling evenly', 'expected capacity where none was measured', `life ${practice}, curve ${rule}`),
  row(`${acceptance}power/ageing.ts`, 'Math.max(0.4, 1 - 0.008 *', 'Capacity of lead-acid in the cold', '0.8 % less for each °C below 25, 40 % the least', 'told when it makes the capacity short', memory),
  row(`${acceptance}power/standby.ts`, 'return reported ? 30 : 60', 'Standby hours by grade, supply of type A', '12 h in grades 1 and 2; 60 h in 3 and 4, 30 h where mains loss reaches a receiving centre', 'offered for the site\'s hours', 'EN 50131-6, ed. 2, table (SEEN-P)'),
  row(`${acceptance}power/voltage.ts`, 'cells * 1.75', 'End of a discharge', '1.75 V a cell', 'told', '(SEEN-R)'),
  row(`${acceptance}power/voltage.ts`, '[10.5, 0], [11.58, 20], [12.06, 50], [12.42, 80], [12.7, 100]', 'Charge by voltage at rest, 12 V', '10.5 V 0 %, 11.58 V 20 %, 12.06 V 50 %, 12.42 V 80 %, 12.7 V 100 %', 'told beside the voltage', 'state-of-charge table (SEEN-R)'),
  row(`${acceptance}radio/level.ts`, '[-80, -90, -100]', 'LTE level (RSRP)', 'strong from -80 dBm, usable from -90, weak above -100', 'weak or none warns', 'one published table, others differ (SEEN-R)'),
  row(`${acceptance}radio/level.ts`, '[-77, -93, -105]', 'Cellular level (RSSI)', 'strong from -77 dBm, usable from -93, weak above -105', 'weak or none warns', practice),
  row(`${acceptance}radio/level.ts`, '[-67, -70, -80]', 'Wi-Fi level', 'strong from -67 dBm, usable from -70, weak above -80', 'weak or none warns', 'four pages agree on -67 (SEEN-R)'),
  row(`${acceptance}radio/path-loss.ts`, 'link.frequencyMhz < 1500', 'Indoor loss, which coefficients', 'those of 900 MHz below 1500 MHz', 'the level expected of a link', rule),
  row(`${acceptance}power/cable.ts`, '0.00323 * (temperatureC - 75)', 'Copper by gauge, warmth', '0.323 % for each °C from 75', 'the expected drop', 'NEC chapter 9, table 8 (MEM)'),
  row(`${acceptance}power/cable.ts`, '0.00393 * (temperatureC - 20)', 'Copper by section, warmth', '0.393 % for each °C from 20', 'the expected drop', memory),
];

/** Numbers of the station's side. */
const station: readonly FurtherLimit[] = [
  row(`${signals}dc09.ts`, '[earlyS, lateS] = [20, 40]', 'Time in an encrypted frame', 'at most 20 s ahead of and 40 s behind the receiver\'s clock', 'refused (NAK)', 'ANSI/SIA DC-09-2013, 5.5.1.9 (SEEN-R: code comment)'),
  row(`${signals}dc09.ts`, 'longestFrame = 4096', 'Length of a frame', '4096 bytes', 'refused', rule),
  row(`${signals}receiver.ts`, 'perMinute = 120, burst = 60', 'Frames of one account', '120 a minute, 60 at once', 'not answered, so that they come again', rule),
  row(`${signals}receiver.ts`, 'resendS = 300', 'A frame sent again', 'within 300 s', 'answered as before and kept once', rule),
  row(`${signals}gaps.ts`, 'heard.length < 5', 'Signals from which an interval is learned', '5 signals', 'fewer: can\'t be told', rule),
  row(`${signals}comb.ts`, 'heard.length < 5', 'Signals from which a clock\'s drift is told', '5 signals', 'fewer: not told', rule),
  row(`${signals}incidents.ts`, 'share = 0.5, least = 3, tailH = 1', 'Accounts of one receiver silent together', 'half of them and 3 at least; a tail over 1 h is the account\'s own', 'one incident of the station', rule),
  row(`${signals}incidents.ts`, '0.5 * Math.min', 'Incidents of several receivers', 'together for more than half of the shorter one\'s time', 'one incident', rule),
  row(`${signals}zip.ts`, 'pairs.length < 3', 'Unambiguous pairs for the phone\'s clock', '3 pairs', 'fewer: the offset can\'t be told', rule),
  row(`${signals}zip.ts`, 'options.earlyS ?? 15', 'An arrival before its step', 'at most 15 s', 'no pair', rule),
  row(`${signals}zip.ts`, 'options.latestS ?? 3600', 'An arrival after its step', 'at most 1 h', 'no pair', rule),
  row(`${signals}zip.ts`, 'options.wrongWithinS ?? 10', 'An arrival of another zone or account', 'within 10 s of the step', 'wrong zone or account; else no pair', rule),
  row(`${operations}signals/steps.ts`, 'LIMIT_S = 90', 'A tripped device heard at the station', 'within 90 s where its check says nothing else', 'late', practice),
  row(`${operations}signals/steps.ts`, 'EARLY_MS = 60_000', 'Phone\'s and station\'s clock', '60 s apart', 'still a pair', rule),
  row(`${operations}signals/steps.ts`, 'UNHEARD_MS = 90_000', 'A listener\'s last word', '90 s old', 'counts as not running', rule),
  row(`${operations}signals/settle-delayed.ts`, 'UNREAD_MS = 24 * 3_600_000', 'A delayed report nobody could look for', '24 h after its time', 'not shown', rule),
  row(`${operations}signals/take-live-signals.ts`, 'RESEND_MS = 10 * 60_000', 'The same content received again', 'within 10 min', 'the same event', rule),
  row(`${operations}station-history.ts`, 'FIRST_LOOK_DAYS = 64', 'History read for the first time', '64 days back: twice the longest reporting time', 'older is not looked at', 'SP1 of EN 50136-1, 32 days (MEM)'),
  row(`${operations}station-history.ts`, 'LOG_DAYS = 400', 'Log read without a visit', '400 days back', 'older is not looked at', rule),
  row(`${operations}station-history.ts`, 'LOSS_REPORT_DAYS = 730', 'Proof that a mains loss is reported', 'holds 730 days', 'mains without a told loss prove nothing after it', rule),
];

/** Numbers of the visit, of holds and of deficiencies. */
const onSite: readonly FurtherLimit[] = [
  row('apps/web/src/shared/holds.ts', 'LEFT_M = 500', 'Phone away from a site on test', 'more than 500 m', 'alarm on the phone, told to the house', rule),
  row('apps/web/src/shared/holds.ts', 'BACK_M = 300', 'Phone back at the site', 'less than 300 m', 'the alarm ends', rule),
  row(`${operations}visits/watch-leaving.ts`, 'LEFT_MS = { dispatcher: 5 * 60_000, owner: 30 * 60_000 }', 'Left while on test', '5 min and 30 min', 'dispatchers and owners are told', rule),
  row(`${operations}visits/watch-leaving.ts`, 'OVERRAN_MS = { dispatcher: 10 * 60_000, owner: 35 * 60_000 }', 'No word from the phone after the planned end', '10 min and 35 min', 'dispatchers and owners are told', rule),
  row(`${contracts}hold-cover.ts`, 'HOLD_WARNINGS_MIN: readonly number[] = [15, 5, 1]', 'Before a hold ends', '15, 5 and 1 min', 'warned', rule),
  row(`${operations}visits/open-hold.ts`, 'MOST_HOURS = 24', 'End of a hold', 'at most 24 h ahead', 'refused', rule),
  row(`${operations}installed.ts`, 'number(given.standbyAllowance) ?? 1.25', 'Allowance on the standby capacity', 'x 1.25 unless the company says another', 'the need of a site', 'NFPA 72, 2022 as reported, 1.20 before: in conflict (SEEN-R)'),
  row(`${operations}installed.ts`, 'number(given.signalGraceH) ?? 1', 'Grace of a periodic signal', '1 h unless the company says another', 'silent after it', rule),
  row(`${operations}installed.ts`, 'FLOAT_OVER_NOMINAL = 2.3 / 2', 'Rated voltage of a supply, where none is known', '2.30 V a cell of its sealed lead-acid battery', 'the supply\'s tolerance is held against it', 'float voltage, several trade pages (SEEN-R)'),
  row(`${operations}battery-parts.ts`, 'LIMIT_PCT = 80', 'Capacity forecast at the visit after next', 'below 80 %', 'a replacement is taken along', 'IEEE 450, IEEE 1188 (SEEN-R)'),
  row(`${operations}battery-parts.ts`, 'AGE_MONTHS = 60', 'Age of a battery', '5 years from manufacture', 'a replacement is taken along', 'NFPA 72, 2007, table 10.4.4 item 6(d)(1) (SEEN-R)'),
  row(`${operations}battery-parts.ts`, 'UNTIL_NEXT_DAYS = 365', 'Next visit after this one', 'within 365 days', 'what does not last until then is replaced now', rule),
  row('apps/web/src/features/visits/ui/instrument-field.tsx', '30 * 86_400_000', 'End of a calibration', 'within 30 days', 'told where the reading is entered', practice),
  row(`${contracts}deficiencies.ts`, "{ impairment: 1, critical: 7, 'non-critical': 30, observation: 180 }", 'Days to close a deficiency', 'impairment 1, critical 7, non-critical 30, observation 180', 'overdue', rule),
  row(`${contracts}deficiencies.ts`, 'IMPAIRMENT_TELL_HOURS = 4', 'Fire system impaired, the authority told', 'within 4 h; the authority\'s own time prevails', 'told to owners and dispatchers', 'NFPA 101, 9.6.1.6, out of service over 4 h in 24 h, as quoted (SEEN-R)'),
  row(`${contracts}deficiencies.ts`, 'INTERIM_MOST_DAYS = 31', 'A measure meanwhile', 'at most 31 days ahead', 'refused', rule),
  row(`${operations}standing/steps.ts`, 'PROVEN_ATTEMPTS = 2', 'Tries with position and picture', '2 tries', 'lateness may be the customer\'s', rule),
  row(`${contracts}entry-codes.ts`, 'CODE_BEFORE_MIN = 30', 'An entry code before the visit', 'from 30 min before its planned start', 'not shown', rule),
  row(`${contracts}entry-codes.ts`, 'CODE_AFTER_MIN = 60', 'An entry code after the visit', 'until 60 min after its end', 'not shown', rule),
  row('apps/web/src/shared/contact.ts', 'OFFLINE_HOURS = 24', 'A phone without a word from the house', '24 h', 'what could be read on it is wiped', rule),
  row('apps/web/src/shared/contact.ts', 'CLOCK_TOLERANCE_MS = 2 * 60_000', 'A phone\'s clock', 'more than 2 min wrong', 'told', rule),
];

export const furtherLimits: readonly (readonly [title: string, rows: readonly FurtherLimit[]])[] = [['Judging', judging], ['Signals', station], ['Visit, hold and deficiency', onSite]];
