import { z } from 'zod';
import { Id, Instant } from './basics.js';
import { Role } from './permissions.js';
import { route } from './route.js';

export const SignIn = z.strictObject({
  email: z.string().trim().toLowerCase().min(3).max(254),
  password: z.string().min(1).max(1000),
  /** short name of the company, needed only when the e-mail belongs to several */
  company: z.string().trim().optional(),
});
export type SignIn = z.infer<typeof SignIn>;

/** The signed-in person, as the web app shows them. */
export const Me = z.object({
  userId: Id, name: z.string(), email: z.string(), role: Role, technicianId: Id.nullable(),
  company: z.object({ id: Id, slug: z.string(), name: z.string(), timeZone: z.string() }),
  sessionEndsAt: Instant,
});
export type Me = z.infer<typeof Me>;

export const NewUser = z.strictObject({
  id: Id, email: z.email({ error: 'must be an e-mail address' }).trim().toLowerCase(), name: z.string().trim().min(1).max(120), role: Role,
  technicianId: Id.nullable().default(null),
  password: z.string().min(12, { error: 'must be at least 12 characters' }).max(1000),
});
export type NewUser = z.infer<typeof NewUser>;

export const UserRow = z.object({ id: Id, email: z.string(), name: z.string(), role: Role, technicianId: Id.nullable(), disabledAt: Instant.nullable() });
export type UserRow = z.infer<typeof UserRow>;

export const ActivityRow = z.object({ id: Id, at: Instant, actorName: z.string(), act: z.string(), subjectKind: z.string(), subjectId: Id.nullable(), siteId: Id.nullable(), summary: z.string() });
export type ActivityRow = z.infer<typeof ActivityRow>;

export const identityRoutes = {
  signIn: route({ name: 'signIn', method: 'POST', path: '/api/sign-in', summary: 'Sign in; answers a session cookie', may: null, input: SignIn, output: Me, problems: ['SignInRefused', 'ChooseCompany', 'TooMany'] }),
  signOut: route({ name: 'signOut', method: 'POST', path: '/api/sign-out', summary: 'End this session', may: 'read', input: z.strictObject({}), output: z.object({}) }),
  me: route({ name: 'me', method: 'GET', path: '/api/me', summary: 'Who is signed in', may: 'read', input: z.strictObject({}), output: Me }),
  listUsers: route({ name: 'listUsers', method: 'GET', path: '/api/users', summary: 'People who can sign in', may: 'own', input: z.strictObject({}), output: z.object({ rows: z.array(UserRow) }) }),
  addUser: route({ name: 'addUser', method: 'POST', path: '/api/users', summary: 'Let a person sign in', may: 'own', input: NewUser, output: UserRow, problems: ['IdReused', 'WrongState'] }),
  disableUser: route({ name: 'disableUser', method: 'POST', path: '/api/users/:userId/disable', summary: 'End a person\'s access at once, with all their sessions', may: 'own', input: z.strictObject({ userId: Id }), output: UserRow, problems: ['NotFound', 'WrongState'] }),
  activity: route({ name: 'activity', method: 'GET', path: '/api/activity', summary: 'Who did what, newest first', may: 'read', input: z.strictObject({ siteId: Id.optional(), limit: z.coerce.number().int().min(1).max(200).default(50), before: Instant.optional() }), output: z.object({ rows: z.array(ActivityRow) }) }),
};
