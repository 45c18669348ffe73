import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { PICTURES } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';

// Labels from the sheet to the visit: printed by the office, scanned by the technician, also without a network; and the
// entry code, seen only by the technician of the visit.
let world: FieldWorld;
let desk: Page;
let phone: Page;
let sheet: Buffer[] = [];
const picture = (page: Page, name: string) => page.screenshot({ path: join(PICTURES, `labels-${name}.png`), fullPage: true });
const bakery = () => world.visits.find((visit) => visit.siteName === 'Ostrel bakery')!;

beforeAll(async () => {
  world = await openFieldWorld();
  desk = await (await world.context({ viewport: { width: 1440, height: 1000 }, hasTouch: false })).newPage();
  await world.signIn(desk, 'owner@quillmere.example', world.line.url);
  phone = (await world.phone('tess@quillmere.example')).page;
}, 120_000);
afterAll(() => world?.close());
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture(desk, 'failed-desk').catch(() => undefined); await picture(phone, 'failed-phone').catch(() => undefined); }));

async function scan(label: Buffer): Promise<void> {
  await phone.goto(`${world.line.url}/scan`);
  await phone.getByRole('button', { name: 'Look through the camera' }).waitFor();
  await phone.locator('input[type=file]').setInputFiles({ name: 'label.png', mimeType: 'image/png', buffer: label });
}

describe('labels and codes', () => {
  it('a sheet of a site and its devices is made', async () => {
    await desk.goto(`${world.line.url}/labels`);
    await desk.getByRole('button', { name: /Ostrel bakery/ }).click();
    await desk.getByRole('img', { name: 'Code of Counter motion' }).waitFor();
    expect(await desk.locator('.label-sheet > li').count()).toBe(3);
    sheet = [];
    for (const name of ['Ostrel bakery', 'Counter motion']) sheet.push(await desk.getByRole('img', { name: `Code of ${name}` }).screenshot());
    await picture(desk, 'sheet');
  });

  it('a site’s label leads straight to its one visit, a device’s tells the device first', async () => {
    await scan(sheet[0]!);
    await phone.waitForURL(`**/visits/${bakery().id}`);
    await scan(sheet[1]!);
    await phone.getByRole('heading', { name: 'Counter motion' }).waitFor();
    await phone.getByRole('link', { name: 'Open the visit' }).waitFor();
    await picture(phone, 'device');
  });

  it('without a network the day pack answers', async () => {
    await phone.goto(`${world.line.url}/my-round`);
    await phone.getByText('On this device for work without a network').waitFor();
    await phone.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    world.line.cut();
    await scan(sheet[1]!);
    await phone.getByRole('heading', { name: 'Counter motion' }).waitFor();
    await phone.getByRole('link', { name: 'Open the visit' }).click();
    await phone.getByText('Ring twice at the yard door').waitFor();
    world.line.restore();
  });

  it('an entry code set by the office is seen by the technician of the visit, in its time, and the sight is on record', async () => {
    await desk.goto(`${world.line.url}/sites/${bakery().siteId}`);
    await desk.getByRole('button', { name: 'Set a code' }).click();
    await desk.getByLabel('What it opens').fill('Yard door keypad');
    await desk.getByRole('textbox', { name: 'Code', exact: true }).fill('4711');
    await desk.getByRole('dialog').getByRole('button', { name: 'Set the code' }).click();
    await desk.getByText('by nobody').waitFor();
    expect(await desk.getByText('4711').count()).toBe(0);
    await world.house.test.database.inCompany({ companyId: (await world.ask<{ company: { id: string } }>('/api/me')).company.id, actorId: null }, (tx) => tx.sql('update visit set day = (now() at time zone \'Europe/Madrid\')::date, start_min = extract(hour from now() at time zone \'Europe/Madrid\')::int * 60 + extract(minute from now() at time zone \'Europe/Madrid\')::int where id = $1::uuid', [bakery().id]));
    await phone.goto(`${world.line.url}/visits/${bakery().id}`);
    await phone.getByRole('button', { name: 'Show the code' }).click();
    await phone.getByText('4711').waitFor();
    await picture(phone, 'code-shown');
    await phone.getByRole('button', { name: 'Hide the code' }).click();
    expect(await phone.getByText('4711').count()).toBe(0);
    await desk.reload();
    await desk.getByText('1 sight so far').click();
    await desk.getByText(/Tess Amaru saw the code of Yard door keypad/).waitFor();
    await picture(desk, 'codes');
  });

  it('these screens hold no violation in either theme and fit 320 px', async () => {
    const site = bakery().siteId;
    for (const theme of ['light', 'dark'] as const) {
      for (const [page, path, there] of [[phone, '/scan', 'Look through the camera'], [phone, `/at/site/${site}`, 'Start visit'], [phone, '/settings', 'Last word from the server'], [desk, '/begin', 'Next:'], [desk, `/labels?site=${site}`, 'Leave some out'], [desk, `/sites/${site}`, 'Set a code']] as const) {
        await page.emulateMedia({ colorScheme: theme });
        await page.setViewportSize({ width: 320, height: 700 });
        await page.goto(`${world.line.url}${path}`);
        await page.getByText(there).first().waitFor();
        const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa']).analyze();
        expect(violations.map((one) => `${path} ${theme} ${one.id}: ${one.nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)).toEqual([]);
        // A page has no sideways scroll; what is wider scrolls in its own box.
        expect([path, await page.evaluate(() => document.documentElement.scrollWidth)]).toEqual([path, 320]);
      }
    }
    await picture(phone, 'settings-dark-320');
  }, 120_000);
});
