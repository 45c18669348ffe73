import type { Settings } from '@bellround/contracts';
import type { Database } from '@bellround/database';
import { createPerform, type Perform, type Tools, type Who } from '@bellround/operations';

/** What processors may use. */
export interface Workshop {
  readonly perform: Perform;
  readonly settings: Settings;
  /** the house itself, acting in one company */
  houseOf(companyId: string): Who;
}

export function openWorkshop(database: Database, settings: Settings, tools: Tools): Workshop {
  return {
    perform: createPerform(database, tools, { timeoutMs: 600_000 }),
    settings,
    houseOf: (companyId) => ({ companyId, userId: null, name: 'the house', role: 'house', technicianId: null }),
  };
}
