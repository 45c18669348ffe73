import { LinkButton, Page } from '../shared/ui/index.js';
import { phrase } from '../shared/language/index.js';

export function NowhereScreen() {
  return (
    <Page title={phrase('app.nothing-at-this-address')} lead={phrase('app.the-page-may-have-been-renamed-or')} slim>
      <div className="row"><LinkButton kind="do" to="/">{phrase('app.go-to-your-first-page')}</LinkButton></div>
    </Page>
  );
}
