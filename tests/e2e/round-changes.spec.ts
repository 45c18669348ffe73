import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { seedDemo } from '@bellround/demo';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openHouse, PICTURES, type House } from '../house.js';

// A technician is told on the round what a publication changed, until it was seen: with a network, and without one.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
let house: House;
let browser: Browser;
let phone: BrowserContext;
let page: Page;

beforeAll(async () => {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  house = await openHouse();
  await seedDemo(house.test.database, { now: new Date(), planWeek: false });
  // the next week: all of its days lie ahead, whatever today is
  const monday = new Date(Date.now() + (8 - (new Date().getUTCDay() || 7)) * 86_400_000).toISOString().slice(0, 10);
  house.bellround('plan', 'week', '--from', monday, '--seconds', '2', '--publish', '--company', 'tolverne');
  browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  phone = await browser.newContext({ viewport: { width: 390, height: 844 } });
  page = await phone.newPage();
  page.setDefaultTimeout(45_000);
}, 240_000);
afterAll(async () => { await browser?.close(); await house?.close(); });

async function signIn(at: Page, email: string, password: string): Promise<void> {
  await at.goto(house.url);
  await at.getByLabel('E-mail').fill(email);
  await at.getByLabel('Password').fill(password);
  await at.getByRole('button', { name: /^Sign in/ }).click();
  await at.getByLabel('Password').waitFor({ state: 'detached' });
}

describe('what changed on a round', () => {
  it('stands on top of My round until it was seen, and seeing it without a network is sent later', async () => {
    await signIn(page, 'wren@tolverne.example', 'ladder and meter');
    await page.goto(`${house.url}/my-round`);
    await page.getByRole('heading', { name: 'Your round has changed' }).waitFor();
    await page.screenshot({ path: join(PICTURES, 'round-changes-390.png'), fullPage: true });
    const changesOf = async () => ((await (await phone.request.get(`${house.url}/api/my-round?days=14`)).json()) as { changes: unknown[] }).changes.length;
    expect(await changesOf()).toBeGreaterThan(0);
    await phone.setOffline(true);
    await page.getByRole('button', { name: 'I have seen it' }).click();
    await expect.poll(() => page.getByRole('heading', { name: 'Your round has changed' }).count()).toBe(0);
    await phone.setOffline(false);
    await expect.poll(changesOf, { timeout: 30_000 }).toBe(0);
    await page.reload();
    await page.getByRole('heading', { level: 1, name: 'My round' }).waitFor();
    expect(await page.getByRole('heading', { name: 'Your round has changed' }).count()).toBe(0);
  });

  it('what rounds need stands on its screens, wide and narrow', async () => {
    const desk = await (await browser.newContext({ viewport: { width: 1440, height: 1000 } })).newPage();
    desk.setDefaultTimeout(45_000);
    await signIn(desk, 'dispatch@tolverne.example', 'rounds for the week');
    const { rows } = (await (await desk.request.get(`${house.url}/api/sites?limit=1`)).json()) as { rows: { id: string }[] };
    for (const [name, path, heading] of [['week', '/week', /Week of/], ['loose-ends', '/loose-ends', /Loose ends/], ['tide', '/tide', /./], ['squeeze', '/squeeze', /./], ['settings', '/settings', /./], ['site', `/sites/${rows[0]!.id}`, /./]] as const) {
      for (const width of [1440, 390]) {
        await desk.setViewportSize({ width, height: 1000 });
        await desk.goto(house.url + path);
        await desk.getByRole('heading', { level: 1, name: heading }).first().waitFor();
        if (name === 'site') await desk.getByRole('heading', { name: 'Coming here' }).waitFor();
        if (name === 'settings') await desk.getByRole('heading', { name: 'How weeks are planned' }).waitFor();
        await expect.poll(() => desk.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
        await desk.screenshot({ path: join(PICTURES, `needs-${name}-${width}.png`), fullPage: true });
      }
    }
    await desk.goto(`${house.url}/sites/${rows[0]!.id}`);
    await desk.getByRole('button', { name: 'Add a permit' }).click();
    await desk.getByLabel('Permit', { exact: true }).fill('work at height');
    await desk.getByRole('button', { name: 'Keep it' }).click();
    await desk.getByText('not granted yet').first().waitFor();
    await desk.goto(`${house.url}/people`);
    await desk.getByRole('table').getByRole('link').first().click();
    await desk.getByRole('button', { name: 'Count the van' }).click();
    await desk.getByRole('textbox', { name: /^Parts/ }).fill('3 x 7 Ah battery');
    await desk.getByRole('button', { name: 'Keep the count' }).click();
    await desk.getByText('3 × 7 Ah battery').waitFor();
    await desk.screenshot({ path: join(PICTURES, 'needs-van-1440.png') });
  });
});
