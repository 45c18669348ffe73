import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { PICTURES, until } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';

// The app itself without a network: it opens, shows the day pack with its age, belongs to one person, and is wiped in time.
let world: FieldWorld;
let tess: BrowserContext;
let page: Page;
const picture = (name: string) => page.screenshot({ path: join(PICTURES, `offline-${name}.png`), fullPage: true });
const bakery = () => world.visits.find((visit) => visit.siteName === 'Ostrel bakery')!;
const packSize = (of: Page) => of.evaluate(() => new Promise<number>((resolve) => {
  const asked = indexedDB.open('bellround-day-pack');
  asked.onsuccess = () => {
    if (!asked.result.objectStoreNames.contains('answers')) return resolve(0);
    const count = asked.result.transaction('answers').objectStore('answers').count();
    count.onsuccess = () => { resolve(count.result); asked.result.close(); };
  };
}));

beforeAll(async () => {
  world = await openFieldWorld();
  ({ context: tess, page } = await world.phone('tess@quillmere.example'));
}, 120_000);
afterAll(() => world?.close());
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture('app-failed').catch(() => undefined); }));

describe('without a network', () => {
  it('the morning’s load puts the round and each visit of the day on the phone, and the app itself', async () => {
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('On this device for work without a network').waitFor();
    expect(await page.getByText('On this device for work without a network').textContent()).toContain('round and 2 visits of today and tomorrow');
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await until('the service worker to serve this page', () => page.evaluate(() => navigator.serviceWorker.controller !== null));
    const manifest = await page.request.get(`${world.line.url}/manifest.webmanifest`);
    expect(manifest.headers()['content-type']).toContain('application/manifest+json');
    const { icons } = (await manifest.json()) as { icons: { src: string; sizes: string }[] };
    for (const icon of icons) expect((await page.request.get(`${world.line.url}${icon.src}`)).status(), icon.src).toBe(200);
    await picture('morning');
  });

  it('opens again with no server at all: round, site notes and checks are there, with their age', async () => {
    world.line.cut();
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('No connection.').waitFor();
    await page.getByText('Ostrel bakery').first().waitFor();
    const words = await page.getByText('You read your round and 2 visits from this device').textContent();
    expect(words).toMatch(/as of .*\((just now|\d+ min ago)\)/);
    await page.goto(`${world.line.url}/visits/${bakery().id}`);
    await page.getByText('Ring twice at the yard door').waitFor();
    await page.getByText('Front door contact', { exact: false }).first().waitFor();
    await picture('visit');
  });

  it('what is not in the pack says so, and the app goes on', async () => {
    await page.goto(`${world.line.url}/settings`);
    await page.getByText('Last word from the server').waitFor();
    await page.goto(`${world.line.url}/deficiencies`);
    await page.getByText('No answer from the server').first().waitFor();
  });

  it('notices by itself when the server is back', async () => {
    world.line.restore();
    await page.getByText('No connection.').waitFor({ state: 'detached', timeout: 30_000 });
  });

  it('a phone clock wrong by an hour is told, with its direction', async () => {
    const context = await world.context();
    const late = await context.newPage();
    await late.clock.install({ time: Date.now() - 3_600_000 });
    await world.signIn(late, 'jonas@quillmere.example');
    await late.getByText('This device\'s clock is', { exact: false }).waitFor();
    expect(await late.getByText('This device\'s clock is', { exact: false }).first().textContent()).toMatch(/1 h (1 min )?behind the server|59 min behind the server/);
    await context.close();
  });

  it('a newer version waits for who is working, and takes over at once where nobody is', async () => {
    const kept = () => page.evaluate(async () => (await caches.keys()).filter((name) => name.startsWith('bellround-app-')));
    const look = () => page.evaluate(() => navigator.serviceWorker.getRegistration().then((one) => one!.update()).then(() => undefined));
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('Ostrel bakery').first().waitFor();
    world.line.change(/GET \/sw\.js$/, (text) => text.replace(/KEPT_VERSION = '[0-9a-f]+'/, "KEPT_VERSION = 'newer-1'"));
    await page.getByRole('button', { name: 'Contents' }).click();
    await look();
    await page.getByText('A newer version of the app is on this device').waitFor();
    await Promise.all([page.waitForEvent('load'), page.getByRole('button', { name: 'Change to it now' }).click()]);
    await until('only the newer version to be kept', async () => (await kept()).join() === 'bellround-app-newer-1');
    world.line.change(/GET \/sw\.js$/, (text) => text.replace(/KEPT_VERSION = '[0-9a-f]+'/, "KEPT_VERSION = 'newer-2'"));
    await page.goto(`${world.line.url}/my-round`);
    await look().catch(() => undefined);
    await until('the next one to take over by itself', async () => (await kept().catch(() => [])).join() === 'bellround-app-newer-2');
    await page.getByText('Ostrel bakery').first().waitFor();
  });

  it('is shut after a day without the server, and what could be read is gone', async () => {
    expect(await packSize(page)).toBeGreaterThan(2);
    world.line.cut();
    await page.evaluate(() => {
      const kept = JSON.parse(localStorage.getItem('bellround.contact')!) as { answeredAt: number };
      localStorage.setItem('bellround.contact', JSON.stringify({ ...kept, answeredAt: Date.now() - 24 * 3_600_000 }));
    });
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('This device has had no word from the server for 24 hours').waitFor({ timeout: 20_000 });
    expect(await page.getByText('Ostrel bakery').count()).toBe(0);
    await until('the day pack to be wiped', async () => (await packSize(page)) === 0);
    await picture('shut');
    world.line.restore();
  });

  it('somebody whose access ended loses it at the next contact', async () => {
    // Her session had not ended: one word from the server opens the phone again.
    await page.goto(`${world.line.url}/my-round`);
    await until('the day pack to be here again', async () => (await packSize(page)) > 2);
    const { rows } = await world.ask<{ rows: { id: string; name: string }[] }>('/api/users');
    world.line.cut();
    await world.ask(`/api/users/${rows.find((one) => one.name === 'Tess Amaru')!.id}/disable`, {});
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('Ostrel bakery').first().waitFor();
    world.line.restore();
    await page.getByLabel('Password').waitFor({ timeout: 30_000 });
    await until('the day pack to be wiped', async () => (await packSize(page)) === 0);
    world.line.cut();
    await page.goto(`${world.line.url}/my-round`);
    await page.waitForTimeout(1500);
    expect(await page.getByText('Ostrel bakery').count()).toBe(0);
    world.line.restore();
    await tess.close();
  });
});
