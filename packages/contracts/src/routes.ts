import { doorRoutes } from './door.js';
import { identityRoutes } from './identity.js';
import type { Route } from './route.js';

/** Every route of the product by name, one line per capability. OpenAPI and the tenancy suite walk this. */
export const routes = {
  ...doorRoutes,
  ...identityRoutes,
};

export const allRoutes: readonly Route[] = Object.values(routes);
