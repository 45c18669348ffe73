import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../house.js';
import { gallery, picturesOf } from './screens/gallery.js';
import { routesOfTheApp, views, type View } from './screens/views.js';
import { Walker } from './screens/walk.js';
import { openScreenWorld, type Ids, type ScreenWorld } from './screens/world.js';

// Every screen of the app in both themes (at a desk by day, on a phone by night) and from 320 to 2560 px. With BELLROUND_PICTURES it writes pictures
// of each into that folder instead (docs/guide/pictures); with BELLROUND_AT it looks at a demo that runs already. The walk takes minutes and
// stands apart from the whole run until BELLROUND_SCREENS asks for it.
const { BELLROUND_PICTURES: folder, BELLROUND_AT: at, BELLROUND_VIEWS: only, BELLROUND_PICTURE_FORMAT: format, BELLROUND_SCREENS: isAsked } = process.env;
const isWalk = Boolean(folder ?? at ?? isAsked);
const GUIDE = join(ROOT, 'docs', 'guide');
const all = views({} as Ids);
const names = all.map((view) => view.name);
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
    const seen = new Set(all.map((view) => view.route));
    expect(declared.filter((route) => !seen.has(route))).toEqual([]);
  });

  it.skipIf(folder)('the guide shows each of them, and has its pictures', () => {
    expect(readFileSync(join(GUIDE, 'screens.md'), 'utf8')).toBe(gallery(all));
    expect(all.flatMap(picturesOf).filter((name) => !existsSync(join(GUIDE, 'pictures', name)))).toEqual([]);
  });
});

const asked = names.filter((name) => !only || new RegExp(only).test(name));

describe.runIf(isWalk && !folder)('axe finds nothing by day and by night, nothing scrolls sideways, the console stays empty', () => {
  it.each(asked)('%s', async (name) => {
    expect(await walker.look(byName.get(name)!)).toEqual([]);
  }, 300_000);
});

describe.runIf(folder)('is drawn, desk and phone, by day and by night', () => {
  it.each(asked)('%s', async (name) => {
    await walker.draw(byName.get(name)!, { folder: folder!, longest: 1600, format: format === 'png' ? 'png' : 'webp' });
  }, 300_000);

  it('and the guide lists them', () => { writeFileSync(join(GUIDE, 'screens.md'), gallery(all)); });
});
