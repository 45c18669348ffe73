/** What a process may ask of a table service, as the settings say. */
export interface RoadsAt { readonly ROAD_TABLE_URL?: string | undefined; readonly ROAD_TABLE_MOST: number; readonly ROAD_TABLE_TIMEOUT_S: number; readonly ROAD_TABLE_WAIT_S: number }

/** The table service of the settings, for one asking; null when none is set. Time counts from now. */
export function openRoads(settings: RoadsAt) {
  const address = settings.ROAD_TABLE_URL;
  if (address === undefined) return null;
  const began = Date.now();
  return {
    address, most: settings.ROAD_TABLE_MOST,
    enough: (): boolean => Date.now() - began > settings.ROAD_TABLE_WAIT_S * 1000,
    get: async (at: string): Promise<unknown> => {
      const answer = await fetch(at, { signal: AbortSignal.timeout(settings.ROAD_TABLE_TIMEOUT_S * 1000), headers: { accept: 'application/json' } })
        .catch((error: Error & { cause?: Error }) => { throw new Error(error.name === 'TimeoutError' ? `the table of road times did not answer within ${settings.ROAD_TABLE_TIMEOUT_S} s` : `the table of road times cannot be reached (${error.cause?.message || error.message})`); });
      const body = await answer.text();
      try {
        return JSON.parse(body) as unknown; // a refusal of the service is JSON too, and says why
      } catch {
        throw new Error(`the table of road times answered ${answer.status} without a table`);
      }
    },
  };
}
