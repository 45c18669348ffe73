import { z } from 'zod';
import { Id, Instant } from './basics.js';
import { route } from './route.js';

/** A receiver's setting: where it listens, and within which limits. It confirms arrival and dispatches nobody. */
export const ReceiverSetting = z.strictObject({
  name: z.string().trim().min(1, { error: 'must say what it is, such as Test signals' }).max(80),
  host: z.string().trim().regex(/^[0-9A-Za-z.:-]{1,64}$/, { error: 'must be an address to listen on, such as 127.0.0.1 or 0.0.0.0' }),
  port: z.int().min(1024, { error: 'must be a port from 1024 to 65535' }).max(65_535, { error: 'must be a port from 1024 to 65535' }),
  udp: z.boolean(),
  /** path label by the line number that a frame carries */
  lines: z.array(z.strictObject({ line: z.string().regex(/^[0-9A-Fa-f]{1,6}$/, { error: 'must be a line number of up to 6 hex digits' }), path: z.string().trim().min(1, { error: 'must name the path' }).max(60) })).max(32)
    .refine((lines) => new Set(lines.map((one) => one.line.toUpperCase())).size === lines.length, { error: 'must name each line once' }),
  requireKey: z.boolean(),
  perMinute: z.int().min(1).max(100_000),
  mostConnections: z.int().min(1).max(50_000),
  isOn: z.boolean(),
});
export type ReceiverSetting = z.infer<typeof ReceiverSetting>;

/** '*' is every account of the receiver that has no key of its own. */
export const KeyAccount = z.string().trim().regex(/^(\*|[0-9A-Fa-f]{3,16})$/, { error: 'must be an account of 3 to 16 hex digits, or * for all without a key of their own' }).transform((account) => account.toUpperCase());
export const ReceiverKeyRow = z.object({
  id: Id, account: z.string(), bits: z.int(), setAt: Instant, setBy: z.string(),
  /** opens nothing from then on; null: no end is set */
  endsAt: Instant.nullable(), state: z.enum(['in-use', 'ending', 'ended']),
  good: z.int(), refused: z.int(), lastGoodAt: Instant.nullable(),
  /** whose account it is, where it is ours */
  siteId: Id.nullable(), siteName: z.string().nullable(),
});
export type ReceiverKeyRow = z.infer<typeof ReceiverKeyRow>;

export const ReceiverRow = z.object({
  id: Id, setting: ReceiverSetting, createdAt: Instant, createdBy: z.string(), retiredAt: Instant.nullable(),
  /** what the listener says; null: it never said anything. `isHeard`: it spoke within the last minute and a half */
  state: z.object({
    isHeard: z.boolean(), seenAt: Instant, listeningPort: z.int().nullable(), trouble: z.string().nullable(), connections: z.int(),
    good: z.int(), again: z.int(), refused: z.int(), damaged: z.int(), heldBack: z.int(), lastGoodAt: Instant.nullable(), lastRefusedAt: Instant.nullable(), lastRefusal: z.string().nullable(),
  }).nullable(),
  keys: z.array(ReceiverKeyRow),
});
export type ReceiverRow = z.infer<typeof ReceiverRow>;
export const Receivers = z.object({ rows: z.array(ReceiverRow), asOf: Instant });
export type Receivers = z.infer<typeof Receivers>;

export const KeepReceiver = z.strictObject({ id: Id, setting: ReceiverSetting });
export type KeepReceiver = z.infer<typeof KeepReceiver>;
export const RetireReceiver = z.strictObject({ receiverId: Id });
export type RetireReceiver = z.infer<typeof RetireReceiver>;

export const MOST_GRACE_H = 168;
/** A key for an account; one that is in use ends after `graceH`, so that its panel can be changed meanwhile. */
export const SetReceiverKey = z.strictObject({
  receiverId: Id, id: Id, account: KeyAccount,
  key: z.string().trim().regex(/^([0-9A-Fa-f]{32}|[0-9A-Fa-f]{48}|[0-9A-Fa-f]{64})$/, { error: 'must be 32, 48 or 64 hex digits (128, 192 or 256 bits)' }),
  graceH: z.int().min(0).max(MOST_GRACE_H, { error: `must be at most ${MOST_GRACE_H} hours` }).default(0),
});
export type SetReceiverKey = z.infer<typeof SetReceiverKey>;
export const EndReceiverKey = z.strictObject({ keyId: Id });
export type EndReceiverKey = z.infer<typeof EndReceiverKey>;

export const receiversRoutes = {
  listReceivers: route({ name: 'listReceivers', method: 'GET', path: '/api/receivers', summary: 'Where test signals are heard, what each receiver took and refused, and which accounts have keys; never the keys', may: 'plan', input: z.strictObject({}), output: Receivers }),
  keepReceiver: route({ name: 'keepReceiver', method: 'POST', path: '/api/receivers', summary: 'Add a receiver, or change one; the listener follows by itself', may: 'plan', input: KeepReceiver, output: Receivers, problems: ['WrongState'] }),
  retireReceiver: route({ name: 'retireReceiver', method: 'POST', path: '/api/receivers/:receiverId/retire', summary: 'This receiver hears nothing any more; its keys end with it', may: 'plan', input: RetireReceiver, output: Receivers, problems: ['NotFound'] }),
  setReceiverKey: route({ name: 'setReceiverKey', method: 'POST', path: '/api/receivers/:receiverId/keys', summary: 'Set the key of an account, or a new one in place of the old; it is sealed and cannot be read back', may: 'plan', input: SetReceiverKey, output: Receivers, problems: ['NotFound', 'IdReused', 'WrongState', 'Unavailable'] }),
  endReceiverKey: route({ name: 'endReceiverKey', method: 'POST', path: '/api/receiver-keys/:keyId/end', summary: 'This key opens nothing any more', may: 'plan', input: EndReceiverKey, output: Receivers, problems: ['NotFound'] }),
};
