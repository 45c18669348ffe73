import { spawn, type ChildProcess } from 'node:child_process';
import { connect, createServer, type Server } from 'node:net';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { cutFrames, decodeDc09, encodeDc09 } from '@bellround/signals';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { freePort, PICTURES, ROOT, until } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';

// A receiver from setting to retirement in Chromium, with the listener beside it: added, its key made and shown once, frames by socket
// counted, the key changed with a day's grace, a taken port told, retired.
let world: FieldWorld;
let page: Page;
let listener: ChildProcess;
let port: number;
let said = '';
let blocker: Server;
const picture = (name: string) => page.screenshot({ path: join(PICTURES, `receivers-${name}.png`), fullPage: true });

let sequence = 0;
/** One encrypted frame of account 7001 to the receiver; the token of its reply, or why the reply does not read. */
function send(keyHex: string, to = port): Promise<string> {
  sequence += 1;
  const frame = encodeDc09({ token: 'SIA-DCS', sequence, receiver: null, line: '0', account: '7001', data: '#7001|NRP', extensions: [], sentAt: new Date().toISOString(), keyHex });
  return new Promise((resolve, reject) => {
    const socket = connect(to, '127.0.0.1').setEncoding('latin1').on('error', reject);
    socket.once('connect', () => socket.write(frame, 'latin1'));
    socket.on('data', (piece: unknown) => { const [reply] = cutFrames('', piece as string).frames; const read = decodeDc09(reply ?? '', { now: null, anyKey: keyHex }); socket.destroy(); resolve(read.ok ? read.value.token : read.error.name); });
  });
}
const heard = (text: string) => until(`the listener to say '${text}'`, async () => said.includes(text));
async function keyShown(): Promise<string> {
  const text = (await page.getByRole('dialog').locator('code').innerText()).replace(/\s/g, '');
  await picture('key');
  await page.getByRole('dialog').getByRole('button', { name: 'Done' }).click();
  return text;
}

beforeAll(async () => {
  world = await openFieldWorld();
  port = await freePort();
  page = await (await world.context({ viewport: { width: 1280, height: 900 }, hasTouch: false })).newPage();
  await world.signIn(page, 'owner@quillmere.example');
  listener = spawn(process.execPath, [join(ROOT, 'apps', 'cli', 'dist', 'main.js'), 'receivers'], { env: world.house.env, stdio: ['ignore', 'pipe', 'inherit'] });
  listener.stdout!.on('data', (text: Buffer) => { said += text.toString(); });
  await heard('listener ready');
}, 180_000);
afterAll(async () => { blocker?.close(); listener?.kill('SIGTERM'); await world?.close(); });
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture('failed').catch(() => undefined); }));

describe('receivers', () => {
  it('one is added on the screen and opened by the listener at once', async () => {
    await page.goto(`${world.line.url}/receivers`);
    await page.getByText('No receiver is set').waitFor();
    await page.getByText(/dispatches nobody/).first().waitFor();
    await page.getByRole('button', { name: 'Add a receiver' }).first().click();
    await page.getByLabel('Name', { exact: true }).fill('Test signals');
    await page.getByLabel('Port').fill(String(port));
    await page.getByLabel(/^Path/).fill('Ethernet');
    await picture('form');
    await page.getByRole('button', { name: 'Add the receiver' }).click();
    await heard(`Test signals: listening on 127.0.0.1:${port}`);
    await page.getByText(new RegExp(`listening on port ${port}`)).waitFor();
  });

  it('a key is made here, shown this once, and opens what comes; each frame is counted under it', async () => {
    await page.getByRole('button', { name: 'Set a key' }).click();
    await page.getByLabel('Account', { exact: true }).fill('7001');
    await page.getByRole('button', { name: 'Set the key' }).click();
    await page.getByText('The key of 7001, shown this once').waitFor();
    const key = await keyShown();
    expect(key).toMatch(/^[0-9A-F]{32}$/);
    expect(await page.content()).not.toContain(key);
    await until('the key to open', async () => (await send(key)) === 'ACK');
    expect(await send('00'.repeat(16))).toBe('DUH');
    await page.getByRole('row', { name: /7001.*Ostrel bakery.*in use/ }).waitFor();
    const { rows } = await until('the counts to be told', async () => { const answer = await world.ask<{ rows: { state: { good: number; lastRefusal: string | null } | null; keys: { good: number; refused: number }[] }[] }>('/api/receivers'); return answer.rows[0]!.keys[0]!.good > 0 && answer.rows[0]!.keys[0]!.refused > 0 && answer.rows[0]!.state?.lastRefusal ? answer : null; });
    expect(rows[0]!.state!.lastRefusal).toContain('account 7001');
    expect(JSON.stringify(rows)).not.toContain(key);
    await page.getByText(/account 7001: The (key does not open this frame|frame is encrypted)/).waitFor();
    await picture('counted');

    // A new key, the old one opening on for a day.
    await page.getByRole('button', { name: 'New key' }).click();
    await page.getByRole('button', { name: 'Set the key' }).click();
    const next = await keyShown();
    await until('the new key to open', async () => (await send(next)) === 'ACK');
    expect(await send(key)).toBe('ACK');
    await page.getByRole('row', { name: /7001.*old key, opens until/ }).getByRole('button', { name: 'End it' }).click();
    await page.getByRole('button', { name: 'End the key' }).click();
    await until('the old key to open nothing', async () => (await send(key)) === 'DUH');
    expect(await send(next)).toBe('ACK');
  });

  it('a port that is taken: the next is used, and the screen says so; retired, nothing listens', async () => {
    blocker = createServer();
    const taken = await freePort();
    await new Promise<void>((resolve) => { blocker.listen(taken, '127.0.0.1', resolve); });
    await page.getByRole('button', { name: 'Change', exact: true }).click();
    await page.getByLabel('Port').fill(String(taken));
    await page.getByRole('button', { name: 'Keep the change' }).click();
    await page.getByText(new RegExp(`port ${taken} is taken: listening on \\d+ instead`)).waitFor();
    for (const [colorScheme, width] of [['light', 1280], ['dark', 390]] as const) {
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize({ width, height: 900 });
      const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa']).analyze();
      expect(violations.map((one) => `${colorScheme} ${width}: ${one.id}: ${one.nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth), `${width} scrolls sideways`).toBe(true);
      await picture(`${colorScheme}-${width}`);
    }
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.emulateMedia({ colorScheme: 'light' });
    await page.getByRole('button', { name: 'Retire', exact: true }).click();
    await page.getByRole('button', { name: 'Retire the receiver' }).click();
    await page.getByText('No receiver is set').waitFor();
    await heard('Test signals: closed');
    await page.getByText('1 retired receiver').click();
    await page.getByText(/retired .*20\d\d/).first().waitFor();
    // In Spanish the words are Spanish.
    await page.evaluate(() => localStorage.setItem('bellround.language', 'es'));
    await page.reload();
    await page.getByText('No hay ningún receptor').waitFor();
  });
});
