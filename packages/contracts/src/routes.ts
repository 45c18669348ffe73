import { deficienciesRoutes } from './deficiencies.js';
import { doorRoutes } from './door.js';
import { dutiesRoutes } from './duties.js';
import { entryCodesRoutes } from './entry-codes.js';
import { exposureRoutes } from './exposure.js';
import { feedRoutes } from './feeds.js';
import { firstRunRoutes } from './first-run.js';
import { fleetRoutes } from './fleet.js';
import { identityRoutes } from './identity.js';
import { labelsRoutes } from './labels.js';
import { listsRoutes } from './lists.js';
import { peopleRoutes } from './people.js';
import { planningRoutes } from './planning.js';
import { roundsNeedRoutes } from './rounds-need.js';
import { programmesRoutes } from './programmes.js';
import { standingRoutes } from './standing.js';
import { conditionRoutes } from './condition.js';
import { receiversRoutes } from './receivers.js';
import { silencesRoutes } from './silences.js';
import { findRoutes } from './find.js';
import { reportsRoutes } from './reports.js';
import { remindersRoutes } from './reminders.js';
import { proofRoutes } from './proof.js';
import type { Route } from './route.js';
import { signalsRoutes } from './signals.js';
import { visitsRoutes } from './visits.js';

/** Every route of the product by name, one line per capability. OpenAPI and the tenancy suite walk this. */
export const routes = {
  ...doorRoutes,
  ...identityRoutes,
  ...entryCodesRoutes,
  ...fleetRoutes,
  ...firstRunRoutes,
  ...peopleRoutes,
  ...listsRoutes,
  ...visitsRoutes,
  ...labelsRoutes,
  ...signalsRoutes,
  ...deficienciesRoutes,
  ...proofRoutes,
  ...remindersRoutes,
  ...feedRoutes,
  ...planningRoutes,
  ...roundsNeedRoutes,
  ...exposureRoutes,
  ...programmesRoutes,
  ...dutiesRoutes,
  ...standingRoutes,
  ...reportsRoutes,
  ...conditionRoutes,
  ...receiversRoutes,
  ...silencesRoutes,
  ...findRoutes,
};

export const allRoutes: readonly Route[] = Object.values(routes);
