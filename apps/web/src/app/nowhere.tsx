import { LinkButton, Page } from '../shared/ui/index.js';

export function NowhereScreen() {
  return (
    <Page title="Nothing at this address" lead="The page may have been renamed, or the link is cut off." slim>
      <div className="row"><LinkButton kind="do" to="/">Go to your first page</LinkButton></div>
    </Page>
  );
}
