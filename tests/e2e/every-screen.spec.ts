import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { routesOfTheApp, views, type View } from './screens/views.js';
import { Walker } from './screens/walk.js';
import { openScreenWorld, type ScreenWorld } from './screens/world.js';

// Every screen of the app in both themes and from 320 to 2560 px. With BELLROUND_PICTURES it writes a picture of each into that folder
// instead (docs/guide/pictures; README there); with BELLROUND_AT it looks at a demo that runs already.
const { BELLROUND_PICTURES: folder, BELLROUND_AT: at, BELLROUND_VIEWS: only } = process.env;
let world: ScreenWorld;
let all: readonly View[];
let walker: Walker;

beforeAll(async () => {
  world = await openScreenWorld(at);
  all = views(world.ids).filter((view) => !only || new RegExp(only).test(view.name));
  walker = new Walker(world);
}, 240_000);
afterAll(async () => { await world?.close(); });

describe('every screen', () => {
  it('each address of the app is looked at', () => {
    const declared = routesOfTheApp();
    expect(declared.length).toBeGreaterThan(30);
    const seen = new Set(views(world.ids).map((view) => view.route));
    expect(declared.filter((route) => !seen.has(route))).toEqual([]);
  });

  it.runIf(!folder)('axe finds nothing by day and by night, nothing scrolls sideways, the console stays empty', async () => {
    const faults: string[] = [];
    for (const view of all) faults.push(...await walker.faultsOf(view).catch((error: Error) => [`${view.name}: ${error.message.split('\n')[0]}`]));
    expect(faults).toEqual([]);
  });

  it.runIf(folder)('pictures of each', async () => {
    const faults: string[] = [];
    const format = process.env['BELLROUND_PICTURE_FORMAT'] === 'png' ? 'png' : 'webp';
    for (const view of all) await walker.picture(view, folder!, Number(process.env['BELLROUND_PICTURE_HEIGHT'] ?? 1800), format).catch((error: Error) => faults.push(`${view.name}: ${error.message.split('\n')[0]}`));
    expect(faults).toEqual([]);
  }, 3_600_000);
});
