import type { UserRow } from '@bellround/contracts';

/** A user as screens show one: never with the password's hash. */
export function userRow(user: { id: string; email: string; name: string; role: string; technicianId: string | null; disabledAt: Date | null }): UserRow {
  return { id: user.id, email: user.email, name: user.name, role: user.role as UserRow['role'], technicianId: user.technicianId, disabledAt: user.disabledAt?.toISOString() ?? null };
}
