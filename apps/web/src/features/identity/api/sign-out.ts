import { routes } from '@bellround/contracts';
import { keepMe } from '../../../shared/kept-me.js';
import { useAct } from '../../../shared/query.js';

/** Ends the session and forgets, in this window, all the person saw. What still waits to be sent is kept for them on the device. */
export function useSignOut() {
  return useAct(routes.signOut, {
    onDone: () => {
      keepMe(null);
      location.assign('/');
    },
  });
}
