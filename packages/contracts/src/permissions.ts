import { z } from 'zod';

export const Role = z.enum(['owner', 'dispatcher', 'technician', 'auditor']);
export type Role = z.infer<typeof Role>;

/**
 * read: see the fleet, its duties and its proof; work: do and record visits; plan: plan rounds, keep the fleet and its
 * people; own: company settings, users, acceptances.
 */
export const PERMISSIONS = {
  read: ['owner', 'dispatcher', 'technician', 'auditor'],
  work: ['owner', 'dispatcher', 'technician'],
  plan: ['owner', 'dispatcher'],
  own: ['owner'],
} as const satisfies Record<string, readonly Role[]>;
export type Permission = keyof typeof PERMISSIONS;
