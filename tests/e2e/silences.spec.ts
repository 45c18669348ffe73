import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { chromium, type Browser, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anAccount, anId, aPath, aSite, aSystem } from '@bellround/database/testing';
import { openHouse, PICTURES, type House } from '../house.js';

// Silences in Chromium: a silent path beside a good one, an incident of the station with its names, and what nobody can tell.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const PASSWORD = 'a long enough pass';
const HOUR = 3_600_000;
let house: House;
let browser: Browser;
let page: Page;

interface Line { readonly label: string; readonly rank: number; readonly receiver: string; readonly intervalMin: number; readonly hoursAgo: readonly number[] }

async function fleet(companyId: string): Promise<void> {
  const now = Date.now();
  await house.test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    let stationId: string | undefined;
    const put = async (number: string, lines: readonly Line[]) => {
      const site = await aSite(tx, companyId, { name: `Site ${number}` });
      const account = await anAccount(tx, companyId, { siteId: site.id, number, ...(stationId ? { stationId } : {}) });
      stationId = account.stationId;
      const system = await aSystem(tx, companyId, { siteId: site.id, accountId: account.id });
      for (const line of lines) {
        await aPath(tx, companyId, { systemId: system.id, rank: line.rank, label: line.label, technology: line.label, receiverAddress: line.receiver, testIntervalMin: line.intervalMin });
        await tx.db.stationEvent.createMany({ data: line.hoursAgo.map((hours) => ({ companyId, id: anId(), stationId: account.stationId, accountNumber: number, accountId: account.id, receivedAt: new Date(now - hours * HOUR), code: '602', path: line.label, kind: 'periodic', raw: `${line.label} ${hours}`, rawDigest: `${number} ${line.label} ${hours}`, source: 'csv', recordedAt: new Date(now) })) });
      }
    };
    const days = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, i) => (from + i) * 24);
    await put('4711', [{ label: 'ethernet', rank: 1, receiver: '1', intervalMin: 1440, hoursAgo: days(0, 20) }, { label: 'cellular', rank: 2, receiver: '1', intervalMin: 1440, hoursAgo: days(9, 20) }]);
    for (let n = 1; n <= 12; n += 1) await put(`8${String(n).padStart(3, '0')}`, [{ label: 'ethernet', rank: 1, receiver: '2', intervalMin: 60, hoursAgo: Array.from({ length: 31 }, (_, hour) => hour).filter((hour) => n > 11 || hour < 26 || hour > 28) }]);
    await put('9001', [{ label: 'line', rank: 1, receiver: '1', intervalMin: 1440, hoursAgo: [] }]);
  });
}

beforeAll(async () => {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  house = await openHouse();
  const companyId = anId();
  await house.test.database.inCompany({ companyId, actorId: null }, (tx) => aCompany(tx, companyId, { slug: 'quillmere', name: 'Quillmere Alarm Care' }));
  house.bellround('user', 'add', '--email', 'owner@quillmere.example', '--name', 'Olive Owner', '--role', 'owner', '--password', PASSWORD);
  await fleet(companyId);
  browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  page = await (await browser.newContext({ viewport: { width: 1440, height: 1000 } })).newPage();
  page.setDefaultTimeout(30_000);
  await page.goto(house.url);
  await page.getByLabel('E-mail').fill('owner@quillmere.example');
  await page.getByLabel('Password').fill(PASSWORD);
  const signedIn = page.waitForResponse((response) => response.url().endsWith('/api/sign-in'));
  await page.getByRole('button', { name: 'Sign in' }).click();
  expect((await signedIn).status()).toBe(200);
}, 180_000);
afterAll(async () => { await browser?.close(); await house?.close(); });

describe('silences', () => {
  it('a silent path beside a good one, one incident with eleven names, and an account nobody heard', async () => {
    await page.goto(`${house.url}/silences`);
    await page.getByRole('heading', { name: 'Silences', level: 1 }).waitFor();
    const incident = page.getByText(/11 of 12 accounts of receiver 2 silent together/);
    await incident.waitFor();
    await page.getByText('11 accounts', { exact: true }).click();
    await page.getByText(/8001 Site 8001; 8002 Site 8002/).waitFor();
    const silent = page.getByRole('table', { name: 'Silent' });
    expect(await silent.textContent()).toContain('one of two paths silent');
    expect(await silent.textContent()).toMatch(/Silent for 216(\.\d)? h = 9 d/);
    expect(await page.getByRole('table', { name: 'Can’t tell' }).textContent()).toContain('Site 9001');
    await page.getByLabel('Search: Silent').fill('nowhere');
    await page.getByText('No account matches ‘nowhere’').waitFor();
    await page.getByRole('button', { name: 'Show all' }).click();
    await page.screenshot({ path: join(PICTURES, 'silences-desk.png'), fullPage: true });
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa']).analyze();
      expect(violations.map((one) => `${colorScheme}: ${one.id}: ${one.nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)).toEqual([]);
    }
    await page.setViewportSize({ width: 390, height: 844 });
    expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBe(0);
    await page.screenshot({ path: join(PICTURES, 'silences-phone-dark.png'), fullPage: true });
  });
});
