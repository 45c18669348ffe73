import { JOBS } from '@bellround/contracts';
import type { Database } from '@bellround/database';
import type { Queue } from 'bullmq';

/**
 * What happens by the clock, in each company's own time zone. Scheduler ids are per company, so a restarted worker finds
 * its timetable and adds nothing. `everyNight` etc. are asked with the day filled in when the job runs, not here: a job
 * that was missed while the worker was down runs once when it is back.
 */
export async function keepTimetable(database: Database, queues: ReadonlyMap<string, Queue>): Promise<number> {
  const companies = await database.outside<{ id: string; time_zone: string }>('select id::text, time_zone from door_companies()');
  const entries = [
    { queue: TICKS.nightly, pattern: '0 15 1 * * *' },
    { queue: TICKS.weekly, pattern: '0 0 6 * * 1' },
    { queue: TICKS.holds, pattern: '0 * * * * *' },
    { queue: TICKS.delayed, pattern: '15 */5 * * * *' },
    { queue: TICKS.deficiencies, pattern: '45 */5 * * * *' },
    { queue: TICKS.mail, pattern: '30 */2 * * * *' },
  ];
  for (const company of companies) {
    for (const { queue, pattern } of entries) {
      await queues.get(queue)!.upsertJobScheduler(`${queue}-${company.id}`, { pattern, tz: company.time_zone }, { name: queue, data: { companyId: company.id }, opts: { removeOnComplete: 50, removeOnFail: 200 } });
    }
  }
  return companies.length;
}

/** Queues that only the timetable feeds: their handler works out the local day and asks for the real job. */
export const TICKS = { nightly: 'tick-nightly', weekly: 'tick-weekly', holds: JOBS.watchHolds.name, delayed: JOBS.settleDelayed.name, deficiencies: JOBS.watchDeficiencies.name, mail: JOBS.sendMessages.name } as const;
