import { doorRoutes } from './door.js';
import { feedRoutes } from './feeds.js';
import { identityRoutes } from './identity.js';
import { remindersRoutes } from './reminders.js';
import type { Route } from './route.js';

/** Every route of the product by name, one line per capability. OpenAPI and the tenancy suite walk this. */
export const routes = {
  ...doorRoutes,
  ...identityRoutes,
  ...remindersRoutes,
  ...feedRoutes,
};

export const allRoutes: readonly Route[] = Object.values(routes);
