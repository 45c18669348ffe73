import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PICTURES, until } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';
import { actuate, answer, startAndHold } from './on-site-steps.js';

// A phone whose clock is wrong, and two phones on one visit.
interface Check { id: string; checkKind: string; verdict: string; performedAt: string; deviceClockAt: string | null }
interface Shown { checks: Check[]; owed: { contradicted: unknown[] } }

let world: FieldWorld;
const visitAt = (name: string) => world.visits.find((visit) => visit.siteName === name)!.id;
const shown = (name: string) => world.ask<Shown>(`/api/visits/${visitAt(name)}`);

beforeAll(async () => { world = await openFieldWorld(); }, 120_000);
afterAll(() => world?.close());

describe('phones', () => {
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
    const first = await world.phone('tess@quillmere.example');
    await first.page.goto(`${world.line.url}/visits/${visitAt('Ostrel bakery')}`);
    await startAndHold(first.page, 'REF-77');
    await actuate(first.page, /Front door contact: Detector/, 'Yes');
    await first.page.getByRole('button', { name: 'Keep check' }).click();
    await first.page.getByRole('button', { name: /Front door contact: Detector.*pass/ }).waitFor();
    await first.context.close();
    const jonas = await world.phone('jonas@quillmere.example');
    await jonas.page.goto(`${world.line.url}/visits/${visitAt('Ostrel bakery')}`);
    await actuate(jonas.page, /Front door contact: Detector/, 'No');
    await jonas.page.getByRole('button', { name: 'Keep check' }).click();
    await jonas.page.getByRole('heading', { name: 'Two phones disagree' }).waitFor();
    const [tess, other] = [jonas.page.getByRole('article').filter({ hasText: 'Tess Amaru' }), jonas.page.getByRole('article').filter({ hasText: 'Jonas Berg' })];
    await tess.getByText('pass', { exact: true }).waitFor();
    await other.getByText('fail', { exact: true }).waitFor();
    await jonas.page.screenshot({ path: join(PICTURES, 'day-two-phones.png'), fullPage: true });
    expect((await shown('Ostrel bakery')).checks.filter((check) => check.checkKind === 'detector-actuation').map((check) => check.verdict).sort()).toEqual(['fail', 'pass']);
    await jonas.page.getByRole('button', { name: 'Try it again now' }).click();
    for (const group of ['Seen at the control unit', 'Right zone', 'Right text']) await answer(jonas.page, group, 'Yes');
    await jonas.page.getByRole('button', { name: 'Keep check' }).click();
    await until('the retry to arrive', async () => (await shown('Ostrel bakery')).checks.length === 3);
    expect((await shown('Ostrel bakery')).owed.contradicted).toEqual([]);
    await jonas.page.getByRole('button', { name: /Front door contact: Detector.*pass/ }).waitFor();
    expect(await jonas.page.getByRole('heading', { name: 'Two phones disagree' }).count()).toBe(0);
    await jonas.context.close();
  });
});
