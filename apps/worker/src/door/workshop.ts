import type { Settings } from '@bellround/contracts';
import type { Database } from '@bellround/database';
import { createPerform, type Perform, type RoadService, type Tools, type Who } from '@bellround/operations';

/** What processors may use. */
export interface Workshop {
  readonly perform: Perform;
  readonly settings: Settings;
  /** the table service of road times, for one asking; null where none is set */
  readonly roads: () => RoadService | null;
  /** aborted when the worker is asked to stop: a long run ends after what is under way, fails, and is taken up again by its queue */
  readonly stopping: AbortSignal;
  /** the house itself, acting in one company */
  houseOf(companyId: string): Who;
}

export function openWorkshop(database: Database, settings: Settings, tools: Tools, roads: Workshop['roads'], stopping: AbortSignal): Workshop {
  return {
    perform: createPerform(database, tools, { timeoutMs: 600_000 }),
    settings, roads, stopping,
    houseOf: (companyId) => ({ companyId, userId: null, name: 'the house', role: 'house', technicianId: null }),
  };
}
