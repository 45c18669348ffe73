import { Refusal, type MyRound } from '@bellround/contracts';
import { partsForVisits, roundRows, stopExtras } from '@bellround/database';
import type { z } from 'zod';
import { batteryPartsFor } from '../battery-parts.js';
import type { Act } from '../perform.js';
import { dayText, dbDay, localDayOf, own } from '../steps.js';
import { unseenChanges, visitRows } from './steps.js';

type Round = z.infer<typeof MyRound>;

/** A technician's stops of the coming days: of published plans, and visits given to them directly; in order of start. */
export const myRound: Act<{ from?: string | undefined; days: number; technicianId?: string | undefined }, Round> = async (ctx, input) => {
  const id = input.technicianId ?? ctx.who.technicianId;
  if (id === null) return { technician: null, changes: [], days: [] };
  const technician = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (!technician) throw new Refusal('NotFound', 'There is no technician by that id.');
  const from = input.from ?? localDayOf(ctx.now, technician.timeZone);
  const days = Array.from({ length: input.days }, (_, at) => dayText(new Date(dbDay(from).getTime() + at * 86_400_000)));
  const rows = await roundRows(ctx.tx, id, from, days.at(-1)!);
  const ids = rows.map((row) => row.visitId);
  const visits = await ctx.tx.db.visit.findMany({ where: { ...own(ctx), id: { in: ids } }, include: { site: true } });
  const shown = new Map((await visitRows(ctx, visits)).map((row) => [row.id, row]));
  const sites = new Map(visits.map((visit) => [visit.id, visit.site]));
  const extras = new Map((await stopExtras(ctx.tx, ids)).map((row) => [row.visitId, row]));
  const parts = await partsForVisits(ctx.tx, ids);
  const batteries = await batteryPartsFor(ctx, rows.map((row) => ({ visitId: row.visitId, siteId: sites.get(row.visitId)!.id, day: row.day })));
  const stop = (row: (typeof rows)[number], order: number): Round['days'][number]['stops'][number] => ({
    ...shown.get(row.visitId)!, day: row.day, startMin: row.startMin, order, arriveMin: row.arriveMin, travelMin: row.travelMin, endMin: row.endMin, secondTechnicianName: row.second,
    accessNotes: sites.get(row.visitId)!.accessNotes, lat: sites.get(row.visitId)!.lat, lon: sites.get(row.visitId)!.lon, checks: extras.get(row.visitId)?.checks ?? 0, openDeficiencies: extras.get(row.visitId)?.deficiencies ?? 0,
    part: row.part, holdUntil: extras.get(row.visitId)?.holdUntil?.toISOString() ?? null, needs: [...parts.filter((part) => part.visitId === row.visitId).map((part) => part.words), ...batteries.get(row.visitId) ?? []],
  });
  return { technician: { id, name: technician.name, timeZone: technician.timeZone }, changes: await unseenChanges(ctx, id, localDayOf(ctx.now, technician.timeZone)), days: days.map((day) => ({ day, stops: rows.filter((row) => row.day === day).map((row, at) => stop(row, at + 1)) })) };
};
