import type { Database } from '@bellround/database';
import { localDateAt, weekdayOf, addDays, type LocalDate } from '@bellround/recurrence';
import { JOBS } from '@bellround/contracts';
import type { Queue } from 'bullmq';
import { TICKS } from './timetable.js';

/**
 * Handlers of the timetable's own queues: turn 'it is night in this company's zone' into the job of that local day. The
 * day is part of the job, and the act behind it runs once per day, so a late or doubled tick changes nothing.
 */
export function tickHandlers(database: Database, queues: ReadonlyMap<string, Queue>, now: () => Date): Map<string, (payload: { companyId: string }) => Promise<void>> {
  const today = async (companyId: string): Promise<LocalDate> => {
    const companies = await database.outside<{ id: string; time_zone: string }>('select id::text, time_zone from door_companies()');
    const zone = companies.find((company) => company.id === companyId)?.time_zone ?? 'UTC';
    return localDateAt(now().toISOString(), zone);
  };
  return new Map([
    [TICKS.nightly, async ({ companyId }) => {
      const day = await today(companyId);
      await queues.get(JOBS.nightlySweep.name)!.add(JOBS.nightlySweep.name, { companyId, day }, { attempts: JOBS.nightlySweep.attempts, backoff: { type: 'exponential', delay: 5000 } });
      await queues.get(JOBS.readHistories.name)!.add(JOBS.readHistories.name, { companyId }, { attempts: JOBS.readHistories.attempts, backoff: { type: 'exponential', delay: 5000 } });
      await queues.get(JOBS.fitRisk.name)!.add(JOBS.fitRisk.name, { companyId }, { attempts: JOBS.fitRisk.attempts });
    }],
    [TICKS.weekly, async ({ companyId }) => {
      const day = await today(companyId);
      const monday = addDays(day, 1 - weekdayOf(day));
      await queues.get(JOBS.weeklyOverdue.name)!.add(JOBS.weeklyOverdue.name, { companyId, day: monday }, { attempts: JOBS.weeklyOverdue.attempts, backoff: { type: 'exponential', delay: 5000 } });
    }],
  ]);
}
