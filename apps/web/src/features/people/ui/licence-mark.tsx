import type { LicenceRow } from '@bellround/contracts';
import { dayShort } from '../../../shared/format.js';
import { Mark } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

/** From so many days before its last day a licence is shown as ending: time enough to renew it. A company's habit, not a rule. */
const ENDING_DAYS = 60;

export function LicenceMark({ licence }: { licence: LicenceRow }) {
  const { valid, validFrom, validTo, daysLeft } = licence;
  const kind = licence.kind.replaceAll('-', ' ');
  if (valid === 'cant-tell') return <Mark shape="hatched" tone="unsure">{phrase('people.kind-cant-tell', { kind })}</Mark>;
  if (valid === 'ended') return <Mark shape="bracketed" tone="bad">{phrase('people.kind-ended-validto', { kind, validTo: dayShort(validTo!) })}</Mark>;
  if (valid === 'not-yet') return <Mark shape="line">{phrase('people.kind-from-validfrom', { kind, validFrom: dayShort(validFrom!) })}</Mark>;
  if (daysLeft! <= ENDING_DAYS) return <Mark shape="half" tone="warn">{phrase('people.kind-to-validto-value', { kind, validTo: dayShort(validTo!), value: daysLeft === 0 ? phrase('people.today-is-the-last-day') : phrase('people.daysleft-left', { daysLeft: phrase('count.day', { n: daysLeft! }) }) })}</Mark>;
  return <Mark shape="whole" tone="good">{phrase('people.kind-to-validto', { kind, validTo: dayShort(validTo!) })}</Mark>;
}
