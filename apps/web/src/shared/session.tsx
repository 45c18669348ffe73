import { type Me, type Permission, PERMISSIONS, type Role } from '@bellround/contracts';
import { type ReactNode, createContext, use } from 'react';

const MeContext = createContext<Me | null>(null);

export function MeProvider({ me, children }: { me: Me; children: ReactNode }) {
  return <MeContext value={me}>{children}</MeContext>;
}

/** The signed-in person. Only below the sign-in gate. */
export function useMe(): Me {
  const me = use(MeContext);
  if (!me) throw new Error('useMe is used outside the sign-in gate');
  return me;
}

/** Whether the signed-in person may; what they may not do is not shown to them. */
export function useMay(permission: Permission): boolean {
  return (PERMISSIONS[permission] as readonly Role[]).includes(useMe().role);
}
