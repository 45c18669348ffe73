import { type Me, routes } from '@bellround/contracts';
import { useAct } from '../../../shared/query.js';

export const useSignIn = (onDone: (me: Me) => void) => useAct(routes.signIn, { onDone });
