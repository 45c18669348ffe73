import { Mark } from '../../../shared/ui/index.js';
import type { Way } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';

/** Where an entry is: nothing that only waits here may look as if the house had accepted it. */
export function WayMark({ way, what = phrase('visits.entered') }: { way: Way | null; what?: string }) {
  if (way === null || way === 'taken') return null;
  return <span className="way">{way === 'refused' ? <Mark shape="fallen" tone="bad">{phrase('visits.what-here-refused-by-the-house-it', { what })}</Mark> : <Mark shape="hatched" tone="unsure">{phrase('visits.what-on-this-phone-only-not-recorded', { what })}</Mark>}</span>;
}
