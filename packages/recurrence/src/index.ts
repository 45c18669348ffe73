export * from './errors.js';
export { type LocalDate, LAST_DAY, addDays, addMonths, dayNumber, daysBetween, daysInMonth, fromDayNumber, localDate, weekdayOf } from './local-date.js';
export { instantAt, localDateAt, localDateTimeAt } from './zone.js';
export { type Recurrence, MOST_OCCURRENCES, MOST_STEPS, expand } from './expand.js';
