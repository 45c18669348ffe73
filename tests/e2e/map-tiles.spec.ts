import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { PICTURES } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';

// The week's map on a tile server: one of ours, by HTTP, that lacks one tile. Only a browser can say whether the page's policy lets them in.
const PIXEL = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkaPhfDwADsQGn3dGVAAAAAABJRU5ErkJggg==', 'base64');
let world: FieldWorld;
let tiles: Server;
let page: Page;
const asked: string[] = [];
const refused: string[] = [];
let isDown = false;

beforeAll(async () => {
  tiles = createServer((request, reply) => {
    asked.push(request.url!);
    const isLacking = isDown || asked.indexOf(request.url!) === 0;
    reply.writeHead(isLacking ? 404 : 200, { 'content-type': 'image/png', 'cache-control': 'no-store' }).end(isLacking ? '' : PIXEL);
  });
  await new Promise<void>((resolve) => tiles.listen(0, '127.0.0.1', resolve));
  world = await openFieldWorld({}, { MAP_TILES_URL: `http://127.0.0.1:${(tiles.address() as AddressInfo).port}/base/{z}/{x}/{y}.png`, MAP_TILES_ATTRIBUTION: 'Tolverne survey', MAP_TILES_MAX_ZOOM: '12' });
  page = await (await world.context({ serviceWorkers: 'block', viewport: { width: 1280, height: 900 }, hasTouch: false })).newPage();
  page.on('console', (message) => { if (/Content Security Policy/.test(message.text())) refused.push(message.text()); });
  await world.signIn(page, 'owner@quillmere.example');
  page.setDefaultTimeout(60_000);
}, 400_000);
afterAll(async () => { await world?.close(); tiles?.close(); });
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await page?.screenshot({ path: join(PICTURES, 'failed-map-tiles.png'), fullPage: true }).catch(() => undefined); }));

const map = () => page.locator('svg.week-map');

describe('the map on a tile server', () => {
  it('tiles lie over the outlines where the server has them, whose they are is said, and what is lacking too', async () => {
    await page.goto(`${world.line.url}/week`);
    await map().locator('.tiles image').first().waitFor();
    await page.getByText('Map: Tolverne survey.').waitFor();
    await page.getByText('the outlines stand in its place').waitFor();
    expect(asked.length).toBeGreaterThan(1);
    for (const path of asked) expect(path).toMatch(/^\/base\/(?:\d|1[0-2])\/\d+\/\d+\.png$/);
    expect(await map().locator('.tiles image').count()).toBe(new Set(asked).size - 1);
    expect(refused).toEqual([]);
    await page.screenshot({ path: join(PICTURES, 'map-tiles.png'), fullPage: true });
  });

  it('with that server down the outlines and sites stand alone, and the page says so', async () => {
    isDown = true;
    await page.reload();
    await page.getByText('the outlines stand in its place').waitFor();
    await map().locator('.tiles image').first().waitFor({ state: 'detached' });
    expect(await map().locator('[data-spot]').count()).toBe(2);
    expect(await map().locator('.graticule').count()).toBeGreaterThan(2);
  });

  it('pictures of no other address are let in', async () => {
    const policy = (await page.request.get(world.house.url)).headers()['content-security-policy']!;
    expect(policy).toContain(`img-src 'self' data: blob: http://127.0.0.1:${(tiles.address() as AddressInfo).port};`);
    expect(policy).toContain("default-src 'self';");
  });
});
