import { z } from 'zod';
import type { ImportKind } from './import-kinds.js';
import { route } from './route.js';

/** The way of a new company from nothing to a published week, in the order in which it goes. */
export const FIRST_STEPS = ['clients', 'sites', 'systems', 'parts', 'accounts', 'technicians', 'programme', 'duties', 'sign-ins', 'plan', 'week'] as const;
export const FirstStep = z.enum(FIRST_STEPS);
export type FirstStep = z.infer<typeof FirstStep>;

/** Counting stops here: whether there is one matters, not whether there are a hundred thousand. */
export const FIRST_RUN_COUNTS_TO = 1000;

/** Where a company stands on that way, from what is there and not from what was pressed. */
export const FirstRun = z.object({
  steps: z.array(z.object({ step: FirstStep, count: z.int(), isDone: z.boolean() })),
  /** the first step that is not done; null: a week was published */
  next: FirstStep.nullable(),
  /** sites without a place on the map, which no round can reach */
  unplacedSites: z.int(),
  /** files that help but are not needed to plan: past checks and the two lists */
  helpful: z.object({ checks: z.int(), stationLists: z.int(), invoiceLists: z.int() }),
});
export type FirstRun = z.infer<typeof FirstRun>;

/** Which files fill a step, in the order in which they are imported. */
export const FILES_OF_STEP: Partial<Record<FirstStep, readonly ImportKind[]>> = {
  clients: ['clients'], sites: ['sites'], systems: ['systems'], parts: ['zones', 'devices', 'batteries', 'paths'], accounts: ['accounts'], technicians: ['technicians', 'licences'],
};

export const firstRunRoutes = {
  firstRun: route({ name: 'firstRun', method: 'GET', path: '/api/first-run', summary: 'Where a new company stands on its way to a planned week', may: 'plan', input: z.strictObject({}), output: FirstRun }),
};
