import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { PICTURES, until } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';

// A day in the field: all of it without a network and then sent, with a reload in mid-check, a double tap, answers lost on
// the way, a clock wrong by an hour, and a phone that is full.
interface Check { id: string; subjectId: string; checkKind: string; verdict: string; performedAt: string; deviceClockAt: string | null }
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

async function answer(group: string, choice: string, of: Page = page): Promise<void> {
  await of.getByRole('group', { name: group }).getByRole('radio', { name: choice, exact: true }).focus();
  await of.keyboard.press('Space');
}

async function startAndHold(of: Page, reference: string): Promise<void> {
  await of.getByRole('button', { name: 'Start visit' }).click();
  await of.getByRole('button', { name: 'Put the account on test' }).click();
  await of.getByLabel('Station’s reference').fill(reference);
  await of.getByLabel('Operator’s name').fill('Ines Porto');
  await of.getByRole('button', { name: 'The station confirmed: on test' }).click();
  await of.getByText(`reference ${reference}`).first().waitFor();
}

/** Opens the check of a subject in the list and answers its three questions. */
async function actuate(of: Page, subject: RegExp, seen: 'Yes' | 'No'): Promise<void> {
  await of.getByRole('button', { name: subject }).first().click();
  for (const [group, choice] of [['Seen at the control unit', seen], ['Right zone', 'Yes'], ['Right text', 'Yes']] as const) await answer(group, choice, of);
}

beforeAll(async () => {
  world = await openFieldWorld();
  ({ page } = await world.phone('tess@quillmere.example'));
}, 120_000);
afterAll(() => world?.close());
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture('failed').catch(() => undefined); }));

describe('a day in the field', () => {
  it('without a network a visit is started, put on test and checked; a reload in mid-check loses nothing', async () => {
    await page.goto(`${world.line.url}/my-round`);
    await page.getByText('On this device for work without a network').waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    world.line.cut();
    await page.goto(`${world.line.url}/visits/${visitAt('Ostrel bakery')}`);
    await page.getByText('No connection.').waitFor();
    await startAndHold(page, 'REF-77');
    await page.getByRole('button', { name: /Counter motion: Detector/ }).first().click();
    await answer('Seen at the control unit', 'No');
    await page.reload();
    await page.getByRole('button', { name: /Counter motion: Detector.*half-entered/ }).click();
    await page.getByText('it stands as you left it').waitFor();
    expect(await page.getByRole('group', { name: 'Seen at the control unit' }).getByRole('radio', { name: 'No', exact: true }).isChecked()).toBe(true);
    await picture('mid-check');
  });

  it('a double tap keeps one check, and what waits is told', async () => {
    await answer('Right zone', 'Yes');
    await answer('Right text', 'Yes');
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

  it('with a clock wrong by an hour records stand at the house’s time, the phone’s own beside them', async () => {
    const late = await world.phone('tess@quillmere.example');
    await late.page.clock.install({ time: Date.now() - 3_600_000 });
    await late.page.goto(`${world.line.url}/visits/${visitAt('Tarn Hollow bookshop')}`);
    await late.page.getByText('This device\'s clock is', { exact: false }).first().waitFor();
    await startAndHold(late.page, 'REF-78');
    await actuate(late.page, /Door contact: Detector/, 'Yes');
    await late.page.getByRole('button', { name: 'Keep check' }).click();
    const check = await until('the check to arrive', async () => (await shown('Tarn Hollow bookshop')).checks[0]);
    expect(Math.abs(Date.parse(check.performedAt) - Date.now())).toBeLessThan(60_000);
    expect(Math.abs(Date.parse(check.deviceClockAt!) - (Date.now() - 3_600_000))).toBeLessThan(60_000);
    await late.context.close();
  });

  it('two phones that disagree on one visit: both kept, shown side by side, settled by trying again', async () => {
    const jonas = await world.phone('jonas@quillmere.example');
    await jonas.page.goto(`${world.line.url}/visits/${visitAt('Ostrel bakery')}`);
    await actuate(jonas.page, /Front door contact: Detector/, 'No');
    await jonas.page.getByRole('button', { name: 'Keep check' }).click();
    await jonas.page.getByRole('heading', { name: 'Two phones disagree' }).waitFor();
    const [tess, other] = [jonas.page.getByRole('article').filter({ hasText: 'Tess Amaru' }), jonas.page.getByRole('article').filter({ hasText: 'Jonas Berg' })];
    await tess.getByText('pass', { exact: true }).waitFor();
    await other.getByText('fail', { exact: true }).waitFor();
    await jonas.page.screenshot({ path: join(PICTURES, 'day-two-phones.png'), fullPage: true });
    expect((await shown('Ostrel bakery')).checks.filter((check) => check.checkKind === 'detector-actuation').map((check) => check.verdict).sort()).toEqual(['fail', 'fail', 'pass']);
    await jonas.page.getByRole('button', { name: 'Try it again now' }).click();
    for (const group of ['Seen at the control unit', 'Right zone', 'Right text']) await answer(group, 'Yes', jonas.page);
    await jonas.page.getByRole('button', { name: 'Keep check' }).click();
    await jonas.page.getByRole('heading', { name: 'Two phones disagree' }).waitFor({ state: 'detached' });
    expect((await shown('Ostrel bakery')).checks).toHaveLength(5);
    await jonas.context.close();
  });
});
