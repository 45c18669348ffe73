import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { PICTURES } from '../house.js';
import { openFieldWorld, PASSWORD, type FieldWorld } from './field-world.js';
import { englishIn } from './screens/english-words.js';

// The app in Spanish: chosen on a page that began in English, then the three home screens, a visit and refusals of the server, with no
// phrase left that only an English screen says.
const DATA = ['Intrusion', 'Ethernet', 'Standby battery', 'Front door contact', 'Counter motion', 'Hall', 'Counter', 'English'];
let world: FieldWorld;
let page: Page;

/** Signs in with whatever language the screen speaks. */
async function enter(email: string, password: string): Promise<void> {
  await page.locator('input[type=email]').fill(email);
  await page.locator('input[type=password]').fill(password);
  await page.locator('form button[type=submit]').click();
}
const leave = async () => { await page.request.post(`${world.line.url}/api/sign-out`, { data: {} }); await page.goto(world.line.url); await page.locator('input[type=email]').waitFor(); };

beforeAll(async () => {
  world = await openFieldWorld();
  await world.ask('/api/users', { id: crypto.randomUUID(), email: 'dora@quillmere.example', name: 'Dora Planner', role: 'dispatcher', password: PASSWORD });
  page = await (await world.context({ locale: 'en-GB', timezoneId: 'Europe/Madrid', serviceWorkers: 'block', viewport: { width: 1280, height: 900 }, hasTouch: false })).newPage();
  page.setDefaultTimeout(20_000);
}, 400_000);
afterAll(async () => { await world?.close(); });
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await page?.screenshot({ path: join(PICTURES, 'failed-spanish.png'), fullPage: true }).catch(() => undefined); }));

describe('in Spanish', () => {
  it('is chosen in Settings; before that the same words are found to be English', async () => {
    await world.signIn(page, 'owner@quillmere.example');
    page.setDefaultTimeout(60_000);
    await page.goto(`${world.line.url}/settings`);
    await page.getByLabel('Language').waitFor();
    expect((await englishIn(page, DATA)).length).toBeGreaterThan(20);
    await page.getByLabel('Language').selectOption('es');
    await page.getByLabel('Idioma').waitFor();
    expect(await page.evaluate(() => document.documentElement.lang)).toBe('es');
    expect(await englishIn(page, DATA)).toEqual([]);
  });

  it('Standing, for the owner', async () => {
    await page.goto(`${world.line.url}/standing`);
    await page.getByText('Ostrel bakery').first().waitFor();
    expect(await englishIn(page, DATA)).toEqual([]);
  });

  it('a sign-in is refused in Spanish', async () => {
    await leave();
    await enter('dora@quillmere.example', 'not the pass at all');
    await page.getByRole('alert').getByText('El correo o la contraseña no es correcto').first().waitFor();
    expect(await englishIn(page, DATA)).toEqual([]);
    await enter('dora@quillmere.example', PASSWORD);
    await page.locator('input[type=password]').waitFor({ state: 'detached' });
  });

  it('the week, for a dispatcher', async () => {
    await page.goto(`${world.line.url}/week`);
    await page.getByRole('button', { name: 'Calcular el plan' }).waitFor();
    expect(await englishIn(page, DATA)).toEqual([]);
  });

  it('My round and a visit under way, for a technician, and what its check says', async () => {
    page = await (await world.context({ locale: 'es-ES', timezoneId: 'Europe/Madrid', serviceWorkers: 'block' })).newPage();
    page.setDefaultTimeout(60_000);
    await page.goto(world.line.url);
    await enter('tess@quillmere.example', PASSWORD);
    await page.getByText('Ostrel bakery').filter({ visible: true }).first().waitFor();
    expect(await englishIn(page, DATA)).toEqual([]);
    await page.goto(`${world.line.url}/visits/${world.visits[0]!.id}`);
    await page.getByRole('button', { name: 'Empezar la visita' }).click();
    await page.getByRole('button', { name: /por hacer/ }).first().waitFor();
    expect(await englishIn(page, DATA)).toEqual([]);
    await page.getByRole('button', { name: /por hacer/ }).first().click();
    await page.locator('form').first().waitFor();
    expect(await englishIn(page, DATA)).toEqual([]);
  });
});
