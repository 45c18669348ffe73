import { Button } from '../shared/ui/index.js';
import { takeNewerVersion, useInstall } from './install.js';

/** A newer version was fetched while somebody works: they choose when to change. */
export function NewerVersion() {
  const { hasNewer } = useInstall();
  if (!hasNewer) return null;
  return (
    <div className="outbox-line" role="status">
      <span>A newer version of the app is on this device. Finish what you are entering first.</span>
      <Button size="small" onClick={takeNewerVersion}>Change to it now</Button>
    </div>
  );
}
