import { Button } from '../shared/ui/index.js';
import { takeNewerVersion, useInstall } from './install.js';
import { phrase } from '../shared/language/index.js';

/** A newer version was fetched while somebody works: they choose when to change. */
export function NewerVersion() {
  const { hasNewer } = useInstall();
  if (!hasNewer) return null;
  return (
    <div className="outbox-line" role="status">
      <span>{phrase('app.a-newer-version-of-the-app-is')}</span>
      <Button size="small" onClick={takeNewerVersion}>{phrase('app.change-to-it-now')}</Button>
    </div>
  );
}
