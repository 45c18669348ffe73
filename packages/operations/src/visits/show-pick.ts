import { minimumPick, stillOwed, type OpenDuty } from '@bellround/acceptance';
import { Refusal, type PickShown } from '@bellround/contracts';
import { dutiesOwedOn, windowsOn } from '@bellround/database';
import { catalogue, checkDefinition } from '@bellround/programmes';
import { asksOf } from '../duty-asks.js';
import { fits, installedAt, subjectsOf } from '../installed.js';
import type { Act } from '../perform.js';
import { grouped, localDayOf, own } from '../steps.js';

/** ACC-51, 52. What a pick of a site's owed duties asks for at the least, and what stays owed after it; all that is owed without `dutyIds`. */
export const showPick: Act<{ siteId: string; day?: string; dutyIds?: readonly string[] }, PickShown> = async (ctx, input) => {
  const { db } = ctx.tx;
  const site = await db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const day = input.day ?? localDayOf(ctx.now, site.timeZone);
  const subjects = subjectsOf(await installedAt(ctx, site));
  const names = new Map(subjects.map((one) => [one.id, one.room === null ? one.name : `${one.name}, ${one.room}`]));
  const owedIds = await dutiesOwedOn(ctx.tx, site.id, day);
  const duties = await db.duty.findMany({ where: { ...own(ctx), siteId: site.id, id: { in: owedIds } }, orderBy: [{ title: 'asc' }, { id: 'asc' }], include: { application: { select: { programme: { select: { body: true } } } } } });
  const windows = new Map((await windowsOn(ctx.tx, owedIds, day)).map((window) => [window.dutyId, window]));
  const picked = input.dutyIds === undefined ? new Set(owedIds) : new Set(input.dutyIds);
  const asks: (OpenDuty & { dutyId: string })[] = duties.flatMap((duty) => asksOf(duty, subjects).map((ask, n) => ({ id: `${duty.id} ${n}`, dutyId: duty.id, ...ask })));
  const definitionsOf = (subjectId: string) => catalogue.filter((definition) => subjects.some((one) => one.id === subjectId && fits(definition, one)));
  const parts = [...grouped(asks.filter((ask) => picked.has(ask.dutyId)), (ask) => ask.subjectId)].map(([subjectId, some]) => minimumPick(some, definitionsOf(subjectId)));
  const checks = parts.flatMap((part) => part.picks);
  const left = new Set(stillOwed(asks, checks, catalogue));
  const dutyOf = new Map(asks.map((ask) => [ask.id, ask.dutyId]));
  return {
    siteId: site.id, day, minutes: parts.reduce((sum, part) => sum + part.minutes, 0), isLeast: parts.every((part) => part.exact),
    owed: duties.map((duty) => ({
      dutyId: duty.id, title: duty.title, regime: duty.regime, mandated: duty.mandated, subjectName: names.get(duty.subjectId) ?? duty.subjectKind, lapses: windows.get(duty.id)?.lapses ?? null,
      isPicked: picked.has(duty.id), isMet: asks.some((ask) => ask.dutyId === duty.id) && asks.every((ask) => ask.dutyId !== duty.id || !left.has(ask.id)),
    })),
    checks: checks.map((one) => ({ checkKind: one.checkKey, title: checkDefinition(one.checkKey)!.title, subjectId: one.subjectId, subjectName: names.get(one.subjectId)!, minutes: one.minutes, meets: one.meets.length })),
    unmet: parts.flatMap((part) => part.unmet).map((one) => ({ dutyId: dutyOf.get(one.duty)!, words: one.words })),
  };
};
