import type { LicenceRow } from '@bellround/contracts';
import { countWords, dayShort } from '../../../shared/format.js';
import { Mark } from '../../../shared/ui/index.js';

/** From so many days before its last day a licence is shown as ending: time enough to renew it. A company's habit, not a rule. */
const ENDING_DAYS = 60;

export function LicenceMark({ licence }: { licence: LicenceRow }) {
  const { kind, valid, validFrom, validTo, daysLeft } = licence;
  if (valid === 'cant-tell') return <Mark shape="hatched" tone="unsure">{kind}: can’t tell</Mark>;
  if (valid === 'ended') return <Mark shape="bracketed" tone="bad">{kind}: ended {dayShort(validTo!)}</Mark>;
  if (valid === 'not-yet') return <Mark shape="line">{kind}: from {dayShort(validFrom!)}</Mark>;
  if (daysLeft! <= ENDING_DAYS) return <Mark shape="half" tone="warn">{kind}: to {dayShort(validTo!)}, {daysLeft === 0 ? 'today is the last day' : `${countWords(daysLeft!, 'day')} left`}</Mark>;
  return <Mark shape="whole" tone="good">{kind}: to {dayShort(validTo!)}</Mark>;
}
