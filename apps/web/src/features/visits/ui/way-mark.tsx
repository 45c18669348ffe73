import { Mark } from '../../../shared/ui/index.js';
import type { Way } from '../queued-view.js';

/** Where an entry is: nothing that only waits here may look as if the house had accepted it. */
export function WayMark({ way, what = 'Entered' }: { way: Way | null; what?: string }) {
  if (way === null || way === 'taken') return null;
  return <span className="way">{way === 'refused' ? <Mark shape="fallen" tone="bad">{what} here, refused by the house: it needs you</Mark> : <Mark shape="hatched" tone="unsure">{what} on this phone only: not recorded yet</Mark>}</span>;
}
