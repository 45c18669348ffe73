import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';

/** Travel of this day is as usual again. Ending it twice is harmless. */
export const endDayTravel: Act<{ day: string }, { ended: boolean }> = async (ctx, { day }) => {
  const gone = await ctx.tx.db.dayTravel.deleteMany({ where: { ...own(ctx), day: dbDay(day) } });
  if (gone.count > 0) await note(ctx, { act: 'end-day-travel', about: 'week', summary: `Travel of ${day} is as usual again` });
  return { ended: gone.count > 0 };
};
