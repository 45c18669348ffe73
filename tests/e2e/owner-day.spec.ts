import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { seedDemo } from '@bellround/demo';
import { openHouse, PICTURES, type House } from '../house.js';

// The owner's day in Chromium on the invented company: what is missing, a filtered list as an address, one site in full,
// a paper and a bundle of it, and an auditor who sees exactly the sites named and nothing else.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
let house: House;
let browser: Browser;
let owner: BrowserContext;
let page: Page;
let auditorUrl = '';
interface Row { siteId: string; name: string; clientId: string; clientName: string; standing: string }
let worst: Row;

const askApi = async <T>(path: string): Promise<T> => (await (await page.request.get(`${house.url}${path}`)).json()) as T;

async function noViolations(on: Page, what: string): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    await on.emulateMedia({ colorScheme });
    const { violations } = await new AxeBuilder({ page: on }).withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']).analyze();
    expect(violations.map((one) => `${what}, ${colorScheme}: ${one.id}: ${one.nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)).toEqual([]);
  }
  await on.emulateMedia({ colorScheme: null });
}

async function fitsEveryWidth(on: Page, what: string): Promise<void> {
  for (const width of [320, 390, 768, 1440, 2560]) {
    await on.setViewportSize({ width, height: 900 });
    expect([what, width, await on.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)]).toEqual([what, width, 0]);
  }
  await on.setViewportSize({ width: 1440, height: 1000 });
}

beforeAll(async () => {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  house = await openHouse();
  await seedDemo(house.test.database, { now: new Date(), planWeek: false });
  browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  owner = await browser.newContext({ viewport: { width: 1440, height: 1000 }, acceptDownloads: true });
  page = await owner.newPage();
  page.setDefaultTimeout(20_000);
  await page.goto(house.url);
  await page.getByLabel('E-mail').fill('owner@tolverne.example');
  await page.getByLabel('Password').fill('owner of the bell');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('heading', { name: 'Standing', level: 1 }).waitFor();
  worst = (await askApi<{ rows: Row[] }>('/api/standing?strips=no&limit=1')).rows[0]!;
}, 180_000);
afterAll(async () => { await browser?.close(); await house?.close(); });
beforeEach(({ onTestFailed }) => onTestFailed(async () => { if (page) await page.screenshot({ path: join(PICTURES, 'failed-owner.png'), fullPage: true }).catch(() => undefined); }));

describe('the owner\'s day', () => {
  it('Standing shows missing proof first, every site by scrolling, and strips where one looks', async () => {
    const table = page.getByRole('table', { name: /missing proof first/ });
    const total = Number(await table.getAttribute('aria-rowcount')) - 1;
    const { counts } = await askApi<{ counts: { sites: number } }>('/api/standing?strips=no&limit=1');
    expect(total).toBe(counts.sites);
    expect(await table.getByRole('row').nth(1).textContent()).toContain(worst.name);
    await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
    await table.locator(`[aria-rowindex="${total + 1}"]`).getByRole('link').waitFor();
    await table.locator(`[aria-rowindex="${total + 1}"]`).getByRole('img').waitFor();
    expect(await table.locator('.standing-body > [role=row]').count()).toBeLessThan(60);
    await page.evaluate(() => window.scrollTo(0, 0));
    await noViolations(page, 'Standing');
    await fitsEveryWidth(page, 'Standing');
  });

  it('a filtered list is an address: opened by somebody else it shows the same', async () => {
    await page.getByRole('button', { name: /lapsed/ }).first().click();
    await page.getByRole('button', { name: `${worst.clientName}`, exact: true }).first().click();
    await page.getByRole('button', { name: /^Only .*: show all clients$/ }).waitFor();
    const shared = page.url();
    expect(shared).toContain('standing=lapsed');
    expect(shared).toContain(`clientId=${worst.clientId}`);
    const there = await owner.newPage();
    await there.goto(shared);
    const rows = there.getByRole('table', { name: /missing proof first/ });
    await rows.getByText(worst.name).waitFor();
    const asked = await askApi<{ total: number }>(`/api/standing?strips=no&limit=1&standing=lapsed&clientId=${worst.clientId}`);
    expect(Number(await rows.getAttribute('aria-rowcount')) - 1).toBe(asked.total);
    await there.close();
  });

  it('finds anything by typing, by the keyboard alone, from any screen', async () => {
    await page.goto(`${house.url}/settings`);
    await page.getByRole('heading', { name: 'Settings', level: 1 }).waitFor();
    await page.keyboard.press('Control+k');
    await page.getByRole('combobox', { name: /^Find a site/ }).waitFor();
    await page.keyboard.type(worst.name);
    await page.getByRole('option').filter({ hasText: worst.name }).first().waitFor();
    await noViolations(page, 'Find');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: worst.name, level: 1 }).waitFor();
  });

  it('a site stands in full: strips, deficiencies, chain, batteries, links, paths; with its paper', async () => {
    for (const name of ['Proof', 'Deficiencies', 'Batteries', 'Paths']) await page.getByRole('heading', { name, level: 2, exact: true }).waitFor();
    const columns = page.getByRole('group', { name: /Battery columns/ });
    await columns.focus();
    await page.keyboard.press('ArrowRight');
    expect(await columns.locator('figcaption').textContent()).toMatch(/Ah|can’t be told/);
    const waits = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Save the report as PDF' }).click();
    const paper = await readFile(await (await waits).path());
    expect(paper.subarray(0, 5).toString()).toBe('%PDF-');
    expect(paper.length).toBeGreaterThan(10_000);
    await noViolations(page, 'Site');
    await fitsEveryWidth(page, 'Site');
  });

  it('makes an auditor\'s address for one site; without a session it opens that site and no other', async () => {
    await page.goto(`${house.url}/auditors`);
    await page.getByRole('button', { name: 'Make an address' }).click();
    await page.getByLabel('For whom').fill('Halden insurance office');
    await page.getByLabel('Search sites to name').fill(worst.name);
    await page.getByRole('button', { name: `Name it: ${worst.name}` }).click();
    await page.getByRole('button', { name: 'Make the address' }).click();
    auditorUrl = (await page.locator('dialog code').textContent())!;
    await page.getByRole('button', { name: 'Done' }).click();
    await noViolations(page, 'Auditors');
    await fitsEveryWidth(page, 'Auditors');

    const outside = await browser.newContext({ viewport: { width: 1440, height: 1000 }, acceptDownloads: true });
    const visitor = await outside.newPage();
    visitor.setDefaultTimeout(20_000);
    await visitor.goto(auditorUrl);
    await visitor.getByRole('heading', { name: 'Proof of 1 site' }).waitFor();
    await noViolations(visitor, 'Audit');
    await fitsEveryWidth(visitor, 'Audit');
    await visitor.getByRole('link', { name: worst.name }).click();
    await visitor.getByRole('heading', { name: worst.name, level: 1 }).waitFor();
    await noViolations(visitor, 'Audited site');
    await fitsEveryWidth(visitor, 'Audited site');
    const waits = visitor.waitForEvent('download');
    await visitor.getByRole('link', { name: 'Save as PDF' }).click();
    expect((await readFile(await (await waits).path())).subarray(0, 5).toString()).toBe('%PDF-');
    const other = (await askApi<{ rows: Row[] }>('/api/standing?strips=no&limit=1&offset=1')).rows[0]!;
    await visitor.goto(`${auditorUrl}/sites/${other.siteId}`);
    await visitor.getByRole('heading', { name: 'There is nothing at this address' }).waitFor();
    await visitor.goto(`${house.url}/sites/${worst.siteId}`);
    await visitor.getByRole('button', { name: 'Sign in' }).waitFor();
    await outside.close();
  });

  it('revoked, the address opens nothing at once', async () => {
    await page.getByRole('button', { name: 'Revoke' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Revoke address' }).click();
    await page.getByText('revoked', { exact: true }).waitFor();
    const outside = await browser.newContext();
    const visitor = await outside.newPage();
    await visitor.goto(auditorUrl);
    await visitor.getByRole('heading', { name: 'There is nothing at this address' }).waitFor();
    await outside.close();
  });

  it('a bundle file is checked in the browser; an altered one is named', async () => {
    await page.goto(`${house.url}/proof`);
    await page.getByRole('heading', { name: 'Check a bundle' }).waitFor();
    await page.getByLabel(/A bundle file/).setInputFiles({ name: 'made-up.json', mimeType: 'application/json', buffer: Buffer.from('{"format":"bellround proof bundle 1"}') });
    await page.getByText('made-up.json does not hold').waitFor();
    await noViolations(page, 'Proof bundles');
    await fitsEveryWidth(page, 'Proof bundles');
  });
});
