import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { routesOfTheApp, views, type View } from './screens/views.js';
import { Walker, type Pictures } from './screens/walk.js';
import { openScreenWorld, type Ids, type ScreenWorld } from './screens/world.js';

// Every screen of the app in both themes (at a desk by day, on a phone by night) and from 320 to 2560 px. With BELLROUND_PICTURES it also writes
// pictures of each into that folder (docs/guide/pictures); with BELLROUND_AT it looks at a demo that runs already. The walk takes minutes and
// stands apart from the whole run until BELLROUND_SCREENS asks for it.
const { BELLROUND_PICTURES: folder, BELLROUND_AT: at, BELLROUND_VIEWS: only, BELLROUND_PICTURE_FORMAT: format, BELLROUND_SCREENS: isAsked } = process.env;
const isWalk = Boolean(folder ?? at ?? isAsked);
const names = views({} as Ids).map((view) => view.name);
let world: ScreenWorld;
let byName: ReadonlyMap<string, View>;
let walker: Walker;

beforeAll(async () => {
  if (!isWalk) return;
  world = await openScreenWorld(at);
  byName = new Map(views(world.ids).map((view) => [view.name, view]));
  walker = new Walker(world);
}, 240_000);
afterAll(async () => { await world?.close(); });

describe('every screen', () => {
  it('each address of the app is looked at', () => {
    const declared = routesOfTheApp();
    expect(declared.length).toBeGreaterThan(30);
    const seen = new Set(views({} as Ids).map((view) => view.route));
    expect(declared.filter((route) => !seen.has(route))).toEqual([]);
  });
});

describe.runIf(isWalk)('axe finds nothing by day and by night, nothing scrolls sideways, the console stays empty', () => {
  it.each(names.filter((name) => !only || new RegExp(only).test(name)))('%s', async (name) => {
    const pictures: Pictures | undefined = folder ? { folder, longest: 1600, format: format === 'png' ? 'png' : 'webp' } : undefined;
    expect(await walker.look(byName.get(name)!, pictures)).toEqual([]);
  }, 120_000);
});
