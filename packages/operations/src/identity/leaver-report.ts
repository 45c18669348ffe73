import { Refusal, type LeaverReport } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** Every site whose code a person saw and that was not changed since, and the keys that are in their custody (IDN-4). */
export const leaverReport: Act<{ userId: string }, LeaverReport> = async (ctx, input) => {
  const { db } = ctx.tx;
  const user = await db.user.findUnique({ where: { companyId_id: { ...own(ctx), id: input.userId } } });
  if (!user) throw new Refusal('NotFound', 'There is no user by that id.');
  const sights = await db.codeSight.findMany({ where: { ...own(ctx), userId: user.id }, orderBy: [{ at: 'asc' }, { id: 'asc' }], include: { code: { include: { key: { include: { site: true } } } } } });
  const keyIds = [...new Set(sights.map((sight) => sight.code.keyId))];
  const newest = await db.entryCode.findMany({ where: { ...own(ctx), keyId: { in: keyIds } }, orderBy: [{ setAt: 'desc' }, { id: 'desc' }], distinct: ['keyId'] });
  const present = new Set(newest.flatMap((code) => (code.sealed === null ? [] : [code.id])));
  const byKey = new Map<string, typeof sights>();
  for (const sight of sights) if (present.has(sight.codeId)) byKey.set(sight.code.keyId, [...(byKey.get(sight.code.keyId) ?? []), sight]);
  const codes = [...byKey.values()].map((seen) => {
    const { key, setAt } = seen[0]!.code;
    return { keyId: key.id, siteId: key.siteId, siteName: key.site.name, address: key.site.address, label: key.label, setAt: setAt.toISOString(), firstSeenAt: seen[0]!.at.toISOString(), lastSeenAt: seen.at(-1)!.at.toISOString(), times: seen.length };
  });
  const keys = user.technicianId === null ? [] : await keysOf(user.technicianId);
  return {
    user: { id: user.id, name: user.name, disabledAt: user.disabledAt?.toISOString() ?? null },
    codes: codes.sort((a, b) => a.siteName.localeCompare(b.siteName, 'en')), keys,
  };

  async function keysOf(technicianId: string): Promise<LeaverReport['keys']> {
    const touched = await db.custody.findMany({ where: { ...own(ctx), technicianId }, select: { keyId: true }, distinct: ['keyId'] });
    const last = await db.custody.findMany({ where: { ...own(ctx), keyId: { in: touched.map((one) => one.keyId) } }, orderBy: [{ at: 'desc' }, { id: 'desc' }], distinct: ['keyId'], include: { key: { include: { site: true } } } });
    return last.filter((one) => one.technicianId === technicianId && one.key.kind !== 'code').map((one) => ({ keyId: one.keyId, siteId: one.key.siteId, siteName: one.key.site.name, kind: one.key.kind, label: one.key.label, since: one.at.toISOString() }));
  }
};
