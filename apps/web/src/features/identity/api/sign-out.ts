import { routes } from '@bellround/contracts';
import { leaveDevice } from '../../../shared/leave-device.js';
import { useAct } from '../../../shared/query.js';

/** Ends the session and forgets, on this device, all the person saw. What still waits to be sent is kept for them. */
export function useSignOut() {
  return useAct(routes.signOut, {
    onDone: () => { void leaveDevice().finally(() => location.assign('/')); },
  });
}
