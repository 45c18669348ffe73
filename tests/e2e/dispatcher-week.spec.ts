import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { seedDemo } from '@bellround/demo';
import { chromium, type Browser, type Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openHouse, PICTURES, type House } from '../house.js';

// A dispatcher's day at the desk without a mouse: the week is planned, a visit moved and moved back, somebody is away, an urgent
// visit placed, two plans compared, the week published. Then the same screens in both themes, narrow and wide.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
let house: House;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  house = await openHouse();
  await seedDemo(house.test.database, { now: new Date(), planWeek: false });
  await house.startWorker();
  browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  page = await (await browser.newContext({ viewport: { width: 1440, height: 1000 } })).newPage();
  page.setDefaultTimeout(45_000);
}, 240_000);
afterAll(async () => { await browser?.close(); await house?.close(); });

// what was on the screen when a step failed is worth more than the error
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await page?.screenshot({ path: join(PICTURES, 'failed-week.png') }).catch(() => undefined); console.log((await (await page.request.get(`${house.url}/api/activity`)).text()).slice(0, 1500)); }));

const focused = () => page.evaluate(() => {
  const at = document.activeElement;
  const label = at?.getAttribute('aria-label') ?? (at as HTMLInputElement | null)?.labels?.[0]?.textContent ?? at?.textContent ?? '';
  return label.trim();
});

/** Presses Tab until the focus is on something of that name; fails when a whole round of the page does not lead there. */
async function tabTo(name: RegExp, most = 250): Promise<void> {
  for (let i = 0; i < most; i += 1) {
    await page.keyboard.press('Tab');
    if (name.test(await focused())) return;
  }
  throw new Error(`no Tab leads to ${String(name)}; the focus is on '${await focused()}'`);
}
async function pressOn(name: RegExp): Promise<void> {
  await tabTo(name);
  await page.keyboard.press('Enter');
}

/** The next week: all of its days lie ahead, whatever today is. */
async function goToNextWeek(): Promise<void> {
  await page.goto(`${house.url}/week`);
  await page.getByRole('heading', { level: 1, name: /Week of/ }).waitFor();
  await pressOn(/^Week after$/);
}

describe('a dispatcher without a mouse', () => {
  it('signs in and computes next week, sees the best so far, and stops with it kept', async () => {
    await page.goto(house.url);
    await page.getByLabel('E-mail').waitFor();
    await tabTo(/^E-mail/);
    await page.keyboard.type('dispatch@tolverne.example');
    await tabTo(/^Password/);
    await page.keyboard.type('rounds for the week');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /Sign out/ }).waitFor();
    await goToNextWeek();
    await tabTo(/^Search for/);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('90');
    await pressOn(/^Compute plan$/);
    await page.getByText(/Best so far: \d/).waitFor({ timeout: 85_000 });
    await pressOn(/^Stop and keep the best so far$/);
    await page.getByText(/draft: \d+ visits on rounds/).first().waitFor({ timeout: 60_000 });
  }, 180_000);

  it('takes a knot, hears what the move costs, drops it, and undoes it', async () => {
    await tabTo(/^.+, .+ \d\d:\d\d to \d\d:\d\d/);
    const name = (await focused()).split(',')[0]!;
    const before = await focused();
    await page.keyboard.press('Space');
    await page.getByText('That is where it stands.').waitFor();
    let words = '';
    for (const key of ['ArrowRight', 'ArrowRight', 'ArrowDown', 'ArrowDown', 'ArrowRight', 'ArrowUp', 'ArrowRight', 'ArrowRight', 'ArrowRight', 'ArrowRight']) {
      await page.keyboard.press(key);
      await page.locator('.loom-panel').getByText(/breaks no rule|cannot be done|That is where/).first().waitFor();
      words = (await page.locator('.loom-panel').textContent()) ?? '';
      if (/breaks no rule/.test(words)) break;
    }
    expect(words).toMatch(/breaks no rule/);
    expect(words).toMatch(/travel|Costs nothing|exposure|unevenness/);
    await page.screenshot({ path: join(PICTURES, 'week-carry.png') });
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: `Undo the move of ${name}` }).waitFor();
    await page.locator('.loom-panel').waitFor({ state: 'detached' });
    await expect.poll(focused, { timeout: 10_000 }).toContain(name);
    expect(await focused()).not.toBe(before);
    await page.keyboard.press('Control+Z');
    await page.getByRole('button', { name: `Undo the move of ${name}` }).waitFor({ state: 'detached' });
    await page.getByRole('button', { name: before, exact: true }).waitFor();
  }, 90_000);

  it('drags a knot with the mouse as well: dropped where it breaks no rule, then taken back', async () => {
    const knots = page.locator('.loom-knot:not(.done):not(.hangs)');
    let [name, words] = ['', ''];
    // Which visit may stand where depends on the plan that was found: the first that has a place is dropped.
    for (let n = 3; n < 12 && !/breaks no rule/.test(words); n += 1) {
      const knot = knots.nth(n);
      name = ((await knot.getAttribute('aria-label')) ?? '').split(',')[0]!;
      await knot.scrollIntoViewIfNeeded();
      // its own rect: the box of the whole counts the part of its name that is cut off
      const [from, frame] = [(await knot.locator('rect').first().boundingBox())!, (await page.locator('.loom-frame').boundingBox())!];
      await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
      await page.mouse.down();
      for (const [x, y] of [[0.5, 0.2], [0.9, 0.35], [0.7, 0.45], [0.3, 0.3], [0.6, 0.55], [0.95, 0.6], [0.4, 0.7], [0.75, 0.85]] as const) {
        await page.mouse.move(frame.x + frame.width * x, frame.y + 40 + (frame.height - 160) * y, { steps: 6 });
        await page.locator('.loom-panel').getByText(/breaks no rule|cannot be done|That is where/).first().waitFor();
        words = (await page.locator('.loom-panel').textContent()) ?? '';
        if (/breaks no rule/.test(words)) break;
      }
      expect(words).toContain(name);
      if (/breaks no rule/.test(words)) break;
      await page.keyboard.press('Escape');
      await page.mouse.up();
      await page.locator('.loom-panel').waitFor({ state: 'detached' });
    }
    expect(words).toMatch(/breaks no rule/);
    await page.mouse.up();
    await page.getByRole('button', { name: `Undo the move of ${name}` }).click();
    await page.getByRole('button', { name: `Undo the move of ${name}` }).waitFor({ state: 'detached' });
  }, 90_000);

  it('asks what happens when somebody is away, and keeps the repair as a draft', async () => {
    await pressOn(/^Ask this plan/);
    await page.getByRole('dialog').waitFor();
    await tabTo(/^Who/);
    await page.keyboard.press('ArrowDown');
    await pressOn(/^Show the repair$/);
    await page.getByRole('heading', { name: 'Whom to call' }).or(page.getByText('Nothing has to move.')).first().waitFor({ timeout: 60_000 });
    await page.screenshot({ path: join(PICTURES, 'week-away.png') });
    await pressOn(/^Keep this as a draft$/);
    await page.getByText(/away .+\(sick\)/).first().waitFor({ timeout: 60_000 });
  }, 150_000);

  it('places an urgent visit on the best place', async () => {
    await pressOn(/^Ask this plan/);
    await page.getByRole('dialog').waitFor();
    await tabTo(/Somebody is away/);
    await page.keyboard.press('ArrowLeft'); // choices go round: the last one
    await page.getByLabel('Find the site').waitFor();
    await tabTo(/^Find the site/);
    await page.keyboard.type('mill');
    await page.locator('dialog .choices button').first().waitFor();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await tabTo(/^What is wrong/);
    await page.keyboard.type('panel shows a fault');
    await pressOn(/^Rank the places$/);
    await page.getByRole('table', { name: 'Best places, cheapest first' }).waitFor({ timeout: 30_000 });
    await pressOn(/^Place on round$/);
    await page.getByText('urgent: panel shows a fault').first().waitFor({ timeout: 30_000 });
  }, 120_000);

  it('compares two plans and publishes one; the record keeps what changed', async () => {
    await pressOn(/^Compare plans$/);
    await page.getByRole('heading', { name: 'Aims, in their order' }).waitFor();
    expect(await page.getByRole('heading', { name: /Visits that stand elsewhere \(\d+\)/ }).textContent()).not.toBe('Visits that stand elsewhere (0)');
    await pressOn(/^Back to the week$/);
    await page.getByText(/draft: \d+ visits/).first().waitFor();
    await pressOn(/^Publish week$/);
    await page.getByRole('dialog').waitFor();
    await pressOn(/^Publish week$/);
    await page.getByText(/published: \d+ visits/).first().waitFor({ timeout: 30_000 });
    await pressOn(/^What was published$/);
    await page.getByText(/\(in force\)/).waitFor();
  }, 90_000);
});

describe('the dispatcher\'s screens', () => {
  const next = () => { const day = new Date(); day.setUTCDate(day.getUTCDate() + ((8 - day.getUTCDay()) % 7 || 7)); return day.toISOString().slice(0, 10); };
  const SCREENS = () => [['week', `/week?from=${next()}`, /Rounds in words/], ['loose-ends', '/loose-ends', /loose ends?$/], ['squeeze', '/squeeze', /Squeeze triangle/], ['tide', '/tide', /What this rests on/], ['compare', `/week/compare?from=${next()}`, /Aims, in their order/], ['record', `/week/record?from=${next()}`, /in force/]] as const;

  it('have no accessibility faults in either theme, and never scroll sideways from 320 to 2560 px', async () => {
    for (const [name, path, ready] of SCREENS()) {
      for (const theme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme: theme });
        await page.setViewportSize({ width: 1440, height: 1000 });
        await page.goto(`${house.url}${path}`);
        await page.getByText(ready).first().waitFor({ timeout: 60_000 });
        const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa']).analyze();
        expect(violations.map((one) => `${name} ${theme} ${one.id}: ${one.nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)).toEqual([]);
        await page.screenshot({ path: join(PICTURES, `desk-${name}-${theme}.png`), fullPage: true });
      }
      for (const width of [320, 390, 768, 2560]) {
        await page.setViewportSize({ width, height: 900 });
        const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        expect(over, `${name} at ${width} px is ${over} px too wide`).toBeLessThanOrEqual(0);
      }
      await page.setViewportSize({ width: 390, height: 844 });
      await page.screenshot({ path: join(PICTURES, `phone-${name}.png`), fullPage: true });
    }
  }, 300_000);
});
