import { lapsedSites, squeezeLines } from '@bellround/database';
import type { CapacityDay } from '@bellround/planning';
import { addDays, daysBetween, localDate, weekdayOf } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { learnedTravel, weekTravel } from '../road-travel.js';
import { placesToReach, type SqueezeFacts } from '../squeeze-view.js';
import { dayText, dayTextOrNull, localDayOf, own } from '../steps.js';
import { planningRules } from '../week-needs.js';
import type { WeeklyShift } from '../week-problem.js';
import { minuteOf } from './steps.js';

/** What a squeeze is computed of, outside any transaction: mandated windows that lie inside the days, who works when, travel as plans count it. */
export const loadSqueeze: Act<{ from?: string | undefined; days: number; counting: 'visit' | 'checks' }, SqueezeFacts> = async (ctx, input) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const from = input.from !== undefined && input.from > today ? input.from : today;
  const to = addDays(localDate(from), input.days - 1);
  const lines = await squeezeLines(ctx.tx, today, from, to);
  const points = input.counting === 'visit' ? placesToReach(lines) : [];
  const learned = points.length > 0 && planningRules(company.settings).learnTravel ? { percents: (await learnedTravel(ctx, today)).bands.map((band) => band.percent) } : null;
  return { from, to, counting: input.counting, lines, capacity: await capacityDays(ctx, from, to), overdue: await lapsedSites(ctx.tx, today), travel: await weekTravel(ctx, points, learned) };
};

async function capacityDays(ctx: Ctx, from: string, to: string): Promise<CapacityDay[]> {
  const people = await ctx.tx.db.technician.findMany({ where: { ...own(ctx), pairOnly: false }, include: { licences: true, absences: true } });
  const days = Array.from({ length: daysBetween(localDate(from), localDate(to)) + 1 }, (_, index) => addDays(localDate(from), index));
  return people.flatMap((person) => days.flatMap((day): CapacityDay[] => {
    const away = person.absences.some((one) => dayText(one.fromDay) <= day && day <= dayText(one.toDay)) || (dayTextOrNull(person.activeFrom) ?? day) > day || (dayTextOrNull(person.activeTo) ?? day) < day;
    const shift = away ? undefined : (person.shifts as unknown as WeeklyShift[]).find((one) => one.weekday === weekdayOf(localDate(day)));
    if (!shift) return [];
    const held = person.licences.filter((one) => one.validTo !== null && (dayTextOrNull(one.validFrom) ?? day) <= day && day <= dayText(one.validTo)).map((one) => `licence ${one.kind}`);
    return [{ technicianId: person.id, day, minutes: Math.max(0, minuteOf(shift.to) - minuteOf(shift.from) - (shift.breakMin ?? 0)), skills: [...person.skills, ...held] }];
  }));
}
