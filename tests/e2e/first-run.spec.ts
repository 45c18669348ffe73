import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { chromium, type Browser, type Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openHouse, PICTURES, type House } from '../house.js';

// A newcomer with an empty company, who knows nothing but what the screens say: from the first sign-in to a published week.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const PASSWORD = 'a long enough pass';
let house: House;
let browser: Browser;
let page: Page;
const began = Date.now();
const picture = (name: string) => page.screenshot({ path: join(PICTURES, `first-run-${name}.png`), fullPage: true });
const next = () => page.locator('.begin > .next');

beforeAll(async () => {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  house = await openHouse({ worker: true });
  house.bellround('company', 'add', '--slug', 'quillmere', '--name', 'Quillmere Alarm Care', '--tz', 'Europe/Madrid');
  house.bellround('user', 'add', '--email', 'owner@quillmere.example', '--name', 'Olive Owner', '--role', 'owner', '--password', PASSWORD);
  browser = await chromium.launch({ executablePath: CHROMIUM, args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'] });
  page = await (await browser.newContext({ viewport: { width: 1440, height: 1000 }, acceptDownloads: true })).newPage();
  page.setDefaultTimeout(15_000);
}, 120_000);
afterAll(async () => { await browser?.close(); await house?.close(); });
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture('failed').catch(() => undefined); }));

/** Downloads the sample file that the page offers for this kind, previews it and keeps it. */
async function takeSample(title: string): Promise<void> {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: `Sample file: ${title}` }).click()]);
  await page.locator('input[type=file]').setInputFiles({ name: download.suggestedFilename(), mimeType: 'text/csv', buffer: readFileSync(await download.path()) });
  await page.getByRole('button', { name: 'Preview the file' }).click();
  await page.getByRole('button', { name: /^Keep \d/ }).click();
  await page.getByText('are kept.').waitFor();
}

describe('an empty company', () => {
  it('is shown the way at once', async () => {
    await page.goto(house.url);
    await page.getByLabel('E-mail').fill('owner@quillmere.example');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { name: 'Begin', exact: true }).waitFor();
    expect(new URL(page.url()).pathname).toBe('/begin');
    expect(await next().getByRole('heading').textContent()).toBe('Clients');
    await picture('begin');
    const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa']).analyze();
    expect(violations.map((one) => one.id)).toEqual([]);
  });

  it('is filled from the sample files, each leading to the next', async () => {
    await next().getByRole('link', { name: 'Import clients' }).click();
    for (const title of ['clients', 'sites', 'systems', 'zones', 'devices', 'batteries', 'transmission paths', 'station accounts', 'technicians']) {
      const go = page.getByRole('button', { name: `Go on with ${title}` });
      if (title !== 'clients') await go.click();
      await takeSample(title);
      if (title === 'sites') await picture('sites-kept');
    }
    await page.getByRole('link', { name: 'All steps' }).first().click();
    await page.getByText('6 steps of 11 done. Next: a programme.').waitFor();
  });

  it('adopts a programme, lays it, and publishes a week with rounds', async () => {
    await next().getByRole('link', { name: 'Adopt a programme' }).click();
    await page.getByText('Intrusion, graded, remotely signalled').first().click();
    await page.getByRole('button', { name: 'Adopt programme' }).first().click();
    await page.getByRole('button', { name: 'Lay on systems' }).click();
    await page.getByRole('button', { name: 'Count first' }).click();
    await page.getByRole('button', { name: 'Lay on 12 systems' }).click();
    await page.getByText('Laid:').waitFor();
    await page.goto(`${house.url}/begin`);
    await page.getByText('Next: sign-ins of technicians').waitFor();
    await next().getByRole('link', { name: 'Let them sign in' }).click();
    await page.getByRole('button', { name: 'Let a person sign in' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('textbox', { name: 'Name' }).fill('Tess Amaru');
    await dialog.getByRole('textbox', { name: 'E-mail' }).fill('tess@quillmere.example');
    await dialog.getByRole('combobox', { name: 'Role' }).selectOption('technician');
    await dialog.getByRole('combobox', { name: 'Technician' }).selectOption({ label: 'Tess Amaru' });
    await dialog.getByLabel('First password').fill(PASSWORD);
    await dialog.getByRole('button', { name: 'Let them sign in' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.goto(`${house.url}/begin`);
    await next().getByRole('link', { name: 'Compute a plan' }).click();
    await page.getByRole('textbox', { name: /^Search for/ }).fill('2');
    await page.getByRole('button', { name: 'Compute plan' }).click();
    await page.getByText(/draft: \d+ visits on rounds/).first().waitFor({ timeout: 40_000 });
    await page.getByRole('button', { name: 'Publish week' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Publish week' }).click();
    await page.getByText(/published: \d+ visits/).first().waitFor();
    await page.goto(`${house.url}/begin`);
    await page.getByText('A week is published: your company is under way.').waitFor();
    await picture('under-way');
    expect(await page.getByText('Your company is being set up.').count()).toBe(0);
    console.log(`first run: from the first sign-in to a published week in ${Math.round((Date.now() - began) / 1000)} s of machine time`);
  });
});
