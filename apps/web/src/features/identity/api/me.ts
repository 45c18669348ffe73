import { routes } from '@bellround/contracts';
import { askOptions } from '../../../shared/query.js';
import { identityKeys } from './keys.js';

/** Who is signed in; while no answer comes it is asked again by itself, so that the app notices when the connection is back. */
export const meOptions = () => ({
  ...askOptions(identityKeys, routes.me, {}, { about: ['user'] }), staleTime: 5 * 60_000,
  refetchInterval: (query: { state: { error: unknown } }) => (query.state.error ? 10_000 : 5 * 60_000),
});
