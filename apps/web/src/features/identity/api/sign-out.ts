import { routes } from '@bellround/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { keepMe } from '../../../shared/kept-me.js';
import { useAct } from '../../../shared/query.js';

/** Ends the session, and forgets on this device what the person saw. What still waits to be sent is kept for them. */
export function useSignOut() {
  const client = useQueryClient();
  return useAct(routes.signOut, {
    onDone: () => {
      keepMe(null);
      client.removeQueries({ predicate: (query) => query.queryKey[1] !== routes.me.name });
      void client.resetQueries();
    },
  });
}
