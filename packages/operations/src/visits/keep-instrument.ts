import { Refusal, type InstrumentRow, type KeepInstrument } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayTextOrNull, dbDay, note, own } from '../steps.js';

/** Adds an instrument, or writes down its new calibration; what it was stays in the revisions. A serial belongs to one instrument. Throws WrongState. */
export const keepInstrument: Act<KeepInstrument, InstrumentRow> = async (ctx, { id, ...input }) => {
  const { db } = ctx.tx;
  const data = { kind: input.kind, serial: input.serial, calibratedFrom: input.calibratedFrom === null ? null : dbDay(input.calibratedFrom), calibratedTo: input.calibratedTo === null ? null : dbDay(input.calibratedTo) };
  const other = await db.instrument.findFirst({ where: { ...own(ctx), serial: input.serial, id: { not: id } } });
  if (other) throw new Refusal('WrongState', `Serial ${input.serial} belongs to a ${other.kind} that is on the list already; choose that one.`, { data: { instrumentId: other.id } });
  const row = await db.instrument.upsert({ where: { companyId_id: { ...own(ctx), id } }, create: { ...own(ctx), id, ...data, technicianId: ctx.who.technicianId }, update: data });
  await note(ctx, { act: 'keep-instrument', about: 'visit', id: null, summary: `Instrument ${row.kind} ${row.serial}: ${row.calibratedTo ? `calibrated until ${dayTextOrNull(row.calibratedTo)}` : 'calibration not known'}` });
  return { id: row.id, kind: row.kind, serial: row.serial, calibratedTo: dayTextOrNull(row.calibratedTo) };
};
