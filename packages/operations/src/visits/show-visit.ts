import { OrderRefused, minimumPick, remainingOrder, type CheckDefinition, type Wanted } from '@bellround/acceptance';
import { Refusal, type CheckToDo, type DutyToMeet, type VisitView } from '@bellround/contracts';
import { lastChecks, windowsOn } from '@bellround/database';
import { catalogue, checkDefinition } from '@bellround/programmes';
import { deficiencyRows, retestKindOf } from '../deficiencies/steps.js';
import { asksOf, type Ask } from '../duty-asks.js';
import { checkFactsOf, fits, installedAt, subjectsOf, type Installed, type Subject } from '../installed.js';
import type { Act, Ctx } from '../perform.js';
import { checkRow } from '../recording.js';
import { dayTextOrNull, dbDay, localDayOf, own } from '../steps.js';
import { holdRows, metDuties, putBackRow, visitOwed, visitRows, type Visit } from './steps.js';

/** All that the work on site needs, also without a network: the phone keeps this answer. */
export const showVisit: Act<{ visitId: string }, VisitView> = async (ctx, input) => {
  const { db } = ctx.tx;
  const visit = await db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } }, include: { site: true } });
  if (!visit) throw new Refusal('NotFound', 'There is no visit by that id.');
  const at = await installedAt(ctx, visit.site, visit.id);
  const subjects = subjectsOf(at);
  const definitions = catalogue.filter((definition) => subjects.some((subject) => fits(definition, subject)));
  const checks = await db.check.findMany({ where: { ...own(ctx), visitId: visit.id }, include: { readings: true }, orderBy: [{ performedAt: 'asc' }, { recordedAt: 'asc' }, { id: 'asc' }] });
  const deficiencies = await deficiencyRows(ctx, await db.deficiency.findMany({ where: { ...own(ctx), siteId: visit.siteId, OR: [{ state: { not: 'closed' } }, { visits: { some: { visitId: visit.id } } }] }, orderBy: { dueOn: 'asc' } }));
  const duties = await dutiesToMeet(ctx, visit, subjects);
  const retests = deficiencies.filter((one) => one.state === 'open');
  return {
    visit: (await visitRows(ctx, [visit]))[0]!, ...(await siteParts(ctx, at)), duties: duties.map(({ asks: _, ...duty }) => duty),
    ...toDoOf(duties, retests, subjects, definitions, checks), definitions: [...definitions], checkFacts: Object.fromEntries(subjects.map((subject) => [subject.id, checkFactsOf(at, subject)])),
    lastValues: await lastValues(ctx, subjects, visit.id),
    instruments: (await db.instrument.findMany({ where: own(ctx), orderBy: [{ kind: 'asc' }, { serial: 'asc' }] })).map((one) => ({ id: one.id, kind: one.kind, serial: one.serial, calibratedTo: dayTextOrNull(one.calibratedTo) })),
    deficiencies, checks: checks.map(checkRow), holds: await holdRows(ctx, { visitId: visit.id }),
    putBack: (await db.putBack.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: [{ takenOutAt: 'asc' }, { id: 'asc' }] })).map(putBackRow), ...(await happened(ctx, visit)), owed: await visitOwed(ctx, visit),
  };
};

async function siteParts(ctx: Ctx, at: Installed): Promise<Pick<VisitView, 'site' | 'systems' | 'accounts' | 'devices' | 'batteries' | 'paths'>> {
  const { site } = at;
  const contacts = await ctx.tx.db.contact.findMany({ where: { ...own(ctx), siteId: site.id, validTo: null }, orderBy: { name: 'asc' } });
  const zones = new Map((await ctx.tx.db.zone.findMany({ where: { ...own(ctx), systemId: { in: at.systems.map((system) => system.id) } } })).map((zone) => [zone.id, zone]));
  const stations = new Map((await ctx.tx.db.station.findMany({ where: own(ctx) })).map((station) => [station.id, station]));
  return {
    site: {
      id: site.id, name: site.name, address: site.address, locality: site.locality, postcode: site.postcode, lat: site.lat, lon: site.lon, timeZone: site.timeZone, occupancy: site.occupancy, sleepingRisk: site.sleepingRisk,
      accessHours: site.accessHours as VisitView['site']['accessHours'], noiseHours: site.noiseHours as VisitView['site']['noiseHours'], accessNotes: site.accessNotes, notes: site.notes,
      contacts: contacts.map(({ name, roles, phone, language }) => ({ name, roles, phone, language })),
    },
    systems: at.systems.map(({ id, kind, name, grade, controlUnit, firmware, accountId }) => ({ id, kind, name, grade, controlUnit, firmware, accountId })),
    accounts: at.accounts.map((account) => ({ id: account.id, number: account.number, stationName: stations.get(account.stationId)?.name ?? '', stationPhone: stations.get(account.stationId)?.phone ?? null, status: account.status })),
    devices: at.devices.map((device) => ({ id: device.id, systemId: device.systemId, kind: device.kind, link: device.link, label: device.label, room: device.room, zone: device.zoneId ? zones.get(device.zoneId)?.number ?? null : null, zoneText: device.zoneId ? zones.get(device.zoneId)?.textOurs ?? null : null, serial: device.serial })),
    batteries: at.batteries.map((one) => ({ id: one.id, systemId: one.systemId, name: one.label, kind: one.chemistry, detail: { ratedMah: one.ratedMah, madeOn: dayTextOrNull(one.madeOn), madeOnState: one.madeOnState, fittedOn: dayTextOrNull(one.fittedOn) } })),
    paths: at.paths.map((one) => ({ id: one.id, systemId: one.systemId, name: one.label, kind: one.technology, detail: { rank: one.rank, category: one.category, registered: one.registered } })),
  };
}

type Planned = DutyToMeet & { asks: readonly Ask[] };

async function dutiesToMeet(ctx: Ctx, visit: Visit, subjects: readonly Subject[]): Promise<Planned[]> {
  const { db } = ctx.tx;
  const duties = await db.duty.findMany({ where: { ...own(ctx), visitDuties: { some: { visitId: visit.id } }, OR: [{ validTo: null }, { validTo: { gte: dbDay(localDayOf(visit.openedAt ?? ctx.now, visit.site.timeZone)) } }] }, orderBy: [{ title: 'asc' }, { id: 'asc' }], include: { application: { select: { programme: { select: { body: true } } } } } });
  const windows = new Map((await windowsOn(ctx.tx, duties.map((duty) => duty.id), localDayOf(visit.openedAt ?? ctx.now, visit.site.timeZone))).map((window) => [window.dutyId, window]));
  const met = await metDuties(ctx, visit.id);
  const names = new Map(subjects.map((subject) => [subject.id, subject.name]));
  return duties.map((duty) => {
    const window = windows.get(duty.id);
    return {
      id: duty.id, title: duty.title, regime: duty.regime, mandated: duty.mandated, systemId: duty.systemId, subjectKind: duty.subjectKind, subjectId: duty.subjectId, subjectName: names.get(duty.subjectId) ?? duty.subjectKind, checkKinds: duty.checkKinds,
      minutes: duty.minutes, opens: window?.opens ?? null, due: window?.due ?? null, lapses: window?.lapses ?? null, metByCheckId: met.get(duty.id) ?? null, asks: asksOf(duty, subjects),
    };
  });
}

/** The least checks that meet the duties and retest the deficiencies, in the order in which they are best done. */
function toDoOf(duties: readonly Planned[], retests: readonly { id: string; subjectId: string; checkKind: string }[], subjects: readonly Subject[], definitions: readonly CheckDefinition[], checks: readonly { subjectId: string; checkKind: string; verdict: string }[]): Pick<VisitView, 'toDo' | 'apart'> {
  const asked = duties.flatMap((duty) => duty.asks.map((ask) => ({ id: duty.id, ...ask })));
  const numbered = asked.map((one, at) => ({ ...one, id: `${at}` }));
  const items = new Map<string, { definition: CheckDefinition; subject: Subject; duties: Set<string>; deficiencies: string[] }>();
  const add = (key: string, subjectId: string) => {
    const definition = definitions.find((one) => one.key === key);
    const subject = subjects.find((one) => one.id === subjectId && definition && fits(definition, one));
    if (!definition || !subject) return null;
    const at = `${subjectId}:${key}`;
    if (!items.has(at)) items.set(at, { definition, subject, duties: new Set(), deficiencies: [] });
    return items.get(at)!;
  };
  for (const pick of minimumPick(numbered, definitions).picks) for (const meets of pick.meets) add(pick.checkKey, pick.subjectId)?.duties.add(asked[Number(meets)]!.id);
  for (const one of retests) add(retestKindOf(one.checkKind), one.subjectId)?.deficiencies.push(one.id);
  const site = subjects.find((subject) => subject.kind === 'site');
  if (site && items.size > 0) add('restore-normal', site.id);
  const latest = new Map(checks.map((check) => [`${check.subjectId}:${check.checkKind}`, check.verdict]));
  const { order, apart } = ordered([...items].map(([id, { definition, subject }]) => ({ id, definition, subjectId: subject.id, ...(subject.room === null ? {} : { unit: subject.room }) })), latest);
  const place = new Map(order.map((step, at) => [step.id, { at, phase: step.phase }]));
  const toDo = [...items].map(([id, item]) => ({
    checkKind: item.definition.key, subjectKind: item.subject.kind, subjectId: item.subject.id, subjectName: item.subject.name, room: item.subject.room, systemId: item.subject.systemId,
    meetsDutyIds: [...item.duties], retestsDeficiencyIds: item.deficiencies, minutes: item.definition.minutes, done: latest.has(id) && latest.get(id) !== 'excused', phase: place.get(id)?.phase ?? null, at: place.get(id)?.at ?? Infinity,
  })).sort((a, b) => Number(a.done) - Number(b.done) || (a.at === b.at ? 0 : a.at - b.at));
  return { toDo: toDo.map(({ at: _, ...one }) => one), apart };
}

/** VIS-16. The order of what is left, planned anew after each result; checks without a legal order among them stand as they came. */
function ordered(wanted: readonly Wanted[], latest: ReadonlyMap<string, string>): { order: { id: string; phase: CheckToDo['phase'] }[]; apart: string[] } {
  const done = [...latest].flatMap(([id, verdict]) => (wanted.some((one) => one.id === id) ? [{ id, verdict: verdict as 'pass', ...(verdict === 'excused' ? { owedThisVisit: true } : {}) }] : []));
  try {
    const left = remainingOrder(wanted, done);
    return { order: left.steps.map((step) => ({ id: step.id.replace(/ again$/, ''), phase: step.phase })), apart: left.apart.map((one) => one.words) };
  } catch (error) {
    if (error instanceof OrderRefused) return { order: wanted.map(({ id }) => ({ id, phase: null })), apart: [] };
    throw error;
  }
}

async function lastValues(ctx: Ctx, subjects: readonly Subject[], visitId: string): Promise<VisitView['lastValues']> {
  const last = await lastChecks(ctx.tx, subjects.map((subject) => subject.id), visitId);
  const readings = await ctx.tx.db.reading.findMany({ where: { ...own(ctx), checkId: { in: last.map((check) => check.id) } } });
  return last.filter((check) => checkDefinition(check.checkKind)).map((check) => ({
    subjectId: check.subjectId, checkKind: check.checkKind, performedOn: check.performedOn, verdict: check.verdict as VisitView['lastValues'][number]['verdict'],
    readings: Object.fromEntries(readings.filter((reading) => reading.checkId === check.id).map((reading) => [reading.key, reading.number ?? reading.flag ?? reading.text])),
  }));
}

async function happened(ctx: Ctx, visit: Visit): Promise<Pick<VisitView, 'facts' | 'attempts'>> {
  const facts = await ctx.tx.db.visitFact.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: [{ recordedAt: 'asc' }, { id: 'asc' }] });
  const people = new Map((await ctx.tx.db.user.findMany({ where: { ...own(ctx), id: { in: facts.map((fact) => fact.byId) } }, select: { id: true, name: true } })).map((user) => [user.id, user.name]));
  const attempts = await ctx.tx.db.attempt.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: { at: 'asc' } });
  return {
    facts: facts.map((fact) => {
      const { digest: _, ...detail } = fact.detail as Record<string, unknown>;
      return { id: fact.id, kind: fact.kind, at: fact.at.toISOString(), byName: people.get(fact.byId) ?? '', detail };
    }),
    attempts: attempts.map((one) => ({ id: one.id, how: one.how, outcome: one.outcome, at: one.at.toISOString(), words: one.words, photoId: one.photoId })),
  };
}
