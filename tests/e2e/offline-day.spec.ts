import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { PICTURES, until } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';
import { actuate, answer, startAndHold } from './on-site-steps.js';

// A day in the field: all of it without a network and then sent, with a reload in mid-check, a double tap, answers lost on
// the way, and a phone that is full.
interface Check { id: string; subjectId: string; checkKind: string; verdict: string; }
interface Shown { visit: { state: string }; checks: Check[]; holds: { stationReference: string }[] }

let world: FieldWorld;
let page: Page;
const picture = (name: string) => page.screenshot({ path: join(PICTURES, `day-${name}.png`), fullPage: true });
const visitAt = (name: string) => world.visits.find((visit) => visit.siteName === name)!.id;
const shown = (name: string) => world.ask<Shown>(`/api/visits/${visitAt(name)}`);
const waiting = (of: Page = page) => of.evaluate(() => new Promise<{ route: string; input: { id: string } }[]>((resolve) => {
  const asked = indexedDB.open('bellround-outbox');
  asked.onsuccess = () => {
    const all = asked.result.transaction('entries').objectStore('entries').getAll();
    all.onsuccess = () => { resolve((all.result as unknown[]).filter((one) => typeof one === 'object') as { route: string; input: { id: string } }[]); asked.result.close(); };
  };
}));

beforeAll(async () => {
  world = await openFieldWorld();
  ({ page } = await world.phone('tess@quillmere.example'));
}, 120_000);
afterAll(() => world?.close());
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture('failed').catch(() => undefined); }));

describe('a day in the field', () => {
  it('without a network a visit is started, put on test and checked; scenario 21: the app ends in mid-photo, and nothing is lost but that photo, which is named', async () => {
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('On this device for work without a network').waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    world.line.cut();
    await page.goto(`${world.line.url}/visits/${visitAt('Ostrel bakery')}`);
    await page.getByText('No connection.').waitFor();
    await startAndHold(page, 'REF-77');
    await page.getByRole('button', { name: /Counter motion: Detector/ }).first().click();
    await answer(page, 'Seen at the control unit', 'No');
    // The picture is being made ready when the app ends: it never gets further.
    await page.evaluate(() => { File.prototype.arrayBuffer = () => new Promise(() => undefined); });
    await page.locator('input[type=file]').setInputFiles({ name: 'meter.jpg', mimeType: 'image/jpeg', buffer: Buffer.from([0xff, 0xd8, 0xff, 0xd9]) });
    await page.getByText('Take a picture').and(page.locator('[aria-busy=true]')).waitFor();
    expect(await page.getByText('meter.jpg').count()).toBe(0);
    await page.reload();
    await page.getByRole('button', { name: /Counter motion: Detector.*half-entered/ }).click();
    await page.getByText('it stands as you left it').waitFor();
    await page.getByText(/The photo .?meter\.jpg.? was not finished/).waitFor();
    expect(await page.getByRole('group', { name: 'Seen at the control unit' }).getByRole('radio', { name: 'No', exact: true }).isChecked()).toBe(true);
    await picture('mid-check');
  });

  it('a double tap keeps one check, and what waits is told', async () => {
    await answer(page, 'Right zone', 'Yes');
    await answer(page, 'Right text', 'Yes');
    await page.getByRole('button', { name: 'Keep check' }).dblclick();
    await page.getByRole('button', { name: /Counter motion: Detector.*kept, being sent/ }).waitFor();
    await actuate(page, /Front door contact: Detector/, 'Yes');
    await page.getByRole('button', { name: 'Keep check' }).click();
    await page.getByRole('button', { name: /Front door contact: Detector.*kept, being sent/ }).waitFor();
    const entries = await waiting();
    expect(entries.map((entry) => entry.route)).toEqual(['openVisit', 'openHold', 'recordCheck', 'recordCheck']);
    await page.getByRole('button', { name: 'Show what waits' }).click();
    await page.getByText('Counter motion: Detector actuation: fail').waitFor();
    await picture('what-waits');
    await page.getByRole('button', { name: 'Close', exact: true }).click();
    expect((await shown('Ostrel bakery')).visit.state).toBe('published');
  });

  it('once the line is back all of it arrives in order and once, whatever answers are lost on the way', async () => {
    const kept = await waiting();
    const before = world.line.arrived.length;
    world.line.loseAnswers(/POST .*\/(?:open|checks)$/, 3);
    world.line.restore();
    await until('the outbox to be empty', async () => (await waiting()).length === 0, 60_000);
    const after = await shown('Ostrel bakery');
    expect(after.visit.state).toBe('open');
    expect(after.holds.map((hold) => hold.stationReference)).toEqual(['REF-77']);
    expect(after.checks.map((check) => check.id).sort()).toEqual(kept.filter((entry) => entry.route === 'recordCheck').map((entry) => entry.input.id).sort());
    expect(after.checks.map((check) => check.verdict).sort()).toEqual(['fail', 'pass']);
    // The lost answers made the phone send again: more arrived than was entered.
    expect(world.line.arrived.slice(before).filter((what) => /^POST .*\/(?:open|checks|holds)$/.test(what)).length).toBeGreaterThanOrEqual(kept.length + 3);
    await page.getByRole('button', { name: /Counter motion: Detector.*fail/ }).waitFor({ timeout: 20_000 });
  });

  it('a phone that is full says so in words, loses nothing, and goes on when there is room', async () => {
    world.line.cut();
    await page.reload();
    await page.getByText('No connection.').waitFor();
    // Chromium gives a page no way to fill the device; this is what it answers every write of IndexedDB when it is full.
    await page.evaluate(() => {
      const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = () => { throw new DOMException('Quota exceeded', 'QuotaExceededError'); };
      (globalThis as unknown as { makeRoom: () => void }).makeRoom = () => { IDBObjectStore.prototype.put = put; };
    });
    await page.getByRole('button', { name: /Intrusion: Event log|Intrusion: Indicators/ }).first().click();
    for (const group of await page.getByRole('group').filter({ has: page.getByRole('radio', { name: 'Yes', exact: true }) }).all()) { await group.getByRole('radio', { name: 'Yes', exact: true }).focus(); await page.keyboard.press('Space'); }
    for (const number of await page.getByRole('textbox', { name: /alarms|unexplained/i }).all()) await number.fill('0');
    await page.getByRole('button', { name: 'Keep check' }).click();
    await page.getByText('no room left to keep what you entered').first().waitFor();
    await picture('full');
    expect(await waiting()).toEqual([]);
    await page.evaluate(() => (globalThis as unknown as { makeRoom: () => void }).makeRoom());
    await page.getByRole('button', { name: 'Keep check' }).click();
    await until('the check to be kept', async () => (await waiting()).length === 1);
    world.line.restore();
    await until('it to be sent', async () => (await waiting()).length === 0, 60_000);
    expect((await shown('Ostrel bakery')).checks).toHaveLength(3);
  });
});
