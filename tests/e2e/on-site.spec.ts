import { spawn, type ChildProcess } from 'node:child_process';
import { connect, type Socket } from 'node:net';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { encodeDc09 } from '@bellround/signals';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { freePort, PICTURES, ROOT, until } from '../house.js';
import { openFieldWorld, type FieldWorld } from './field-world.js';

// A visit with fourteen devices: one hold, the station's events by socket while it is worked, one wrong zone, one silent device,
// one excused cover contact that is proven again, one path excused as not yet registered, one battery replaced; and what is owed.
const ROOMS = ['study', 'hall', 'kitchen', 'office', 'stairs', 'store', 'garage', 'cellar', 'bath', 'attic', 'lounge', 'porch', 'yard', 'loft'];
const FILES = {
  sites: 'key,client,name,address,locality,latitude,longitude,time_zone,occupancy,access_hours,taken_over_on\nS-1,C-1,Ostrel bakery,1 Mill Lane,Ostrel,41.90,-4.60,Europe/Madrid,shop,Mon-Sun 00:00-23:59,2020-01-15\n',
  systems: 'key,site,kind,name,grade,installed_on,standby_ma,alarm_ma,standby_hours,alarm_min\nY-1,S-1,intrusion,Intrusion,2,2020-01-20,120,800,12,15\n',
  zones: `system,number,text_ours\n${ROOMS.map((room, n) => `Y-1,${n + 1},${room}`).join('\n')}\n`,
  devices: `key,system,kind,link,label,room,zone,installed_on\n${ROOMS.map((room, n) => `D-${n + 1},Y-1,contact,wired,Contact ${room},${room},${n + 1},2020-01-20`).join('\n')}\n`,
  batteries: 'key,system,label,chemistry,nominal_v,rated_ah,made_on,fitted_on\nB-1,Y-1,Standby battery,lead-acid-sealed,12,7,2020-11,2021-01-15\n',
  paths: 'key,system,rank,technology,label,supervision_s,test_interval_min,registered,installed_on\nP-1,Y-1,1,ethernet,Ethernet,1800,1440,yes,2020-01-20\nP-2,Y-1,2,cellular,Cellular,1800,1440,no,2020-01-20\n',
  accounts: 'station,station_name,number,site,systems,status\nW-1,Stonepier Watch Room,7001,S-1,Y-1,live\n',
};
interface ToDo { checkKind: string; subjectKind: string; subjectId: string; subjectName: string; done: boolean }
interface Duty { id: string; title: string; subjectName: string; checkKinds: string[]; metByCheckId: string | null }
interface Shown {
  visit: { state: string }; toDo: ToDo[]; accounts: { id: string }[]; devices: { id: string; label: string; zone: number }[]; batteries: { id: string; name: string }[]; paths: { id: string; name: string }[]; systems: { id: string }[];
  putBack: { putBackAt: string | null }[]; checks: { subjectId: string; checkKind: string; verdict: string; excuseCode: string | null }[]; duties: Duty[]; owed: { duties: Duty[]; deficiencies: { title: string }[] }; holds: { closedAt: string | null; signalsReceived: number | null }[];
}
const GOOD = { seenAtPanel: true, rightZone: true, rightText: true, secondsToShow: 1, receivedAtStation: true };

let world: FieldWorld;
let page: Page;
let listener: ChildProcess;
let station: Socket;
let visitId = '';
const picture = (name: string) => page.screenshot({ path: join(PICTURES, `on-site-${name}.png`), fullPage: true });
const shown = () => world.ask<Shown>(`/api/visits/${visitId}`);
const minutesAgo = (minutes: number) => ({ deviceClockAt: new Date(Date.now() - minutes * 60_000).toISOString(), deviceClockNow: new Date().toISOString() });
const act = <T>(path: string, body: object) => page.evaluate(async ([to, text]) => {
  const reply = await fetch(to!, { method: 'POST', headers: { 'content-type': 'application/json' }, body: text! });
  if (!reply.ok) throw new Error(`${to}: ${reply.status} ${await reply.text()}`);
  return (await reply.json()) as T;
}, [path, JSON.stringify(body)] as const);
const check = (subjectKind: string, subjectId: string, checkKind: string, readings: object, more: object = {}) => act<{ check: { verdict: string } }>(`/api/visits/${visitId}/checks`, { id: crypto.randomUUID(), checkKind, subjectKind, subjectId, readings, ...more });

let sequence = 0;
/** One frame to the listener, as a transmitter sends it; resolves with the reply. */
function send(zone: number): Promise<string> {
  sequence += 1;
  const frame = encodeDc09({ token: 'SIA-DCS', sequence, receiver: null, line: '0', account: '7001', data: `#7001|NBA${String(zone).padStart(2, '0')}`, extensions: [], sentAt: null });
  return new Promise((resolve) => { station.once('data', (reply) => resolve(reply.toString('latin1'))); station.write(Buffer.from(frame, 'latin1')); });
}

beforeAll(async () => {
  world = await openFieldWorld(FILES);
  visitId = world.visits[0]!.id;
  ({ page } = await world.phone('tess@quillmere.example'));
  const port = await freePort();
  listener = spawn(process.execPath, [join(ROOT, 'apps', 'cli', 'dist', 'main.js'), 'listen', '--port', String(port), '--company', 'quillmere', '--line', '0=ethernet'], { env: world.house.env, stdio: ['ignore', 'pipe', 'inherit'] });
  await new Promise<void>((resolve, reject) => { listener.stdout!.on('data', (text: Buffer) => { if (text.toString().includes('listening on')) resolve(); }); listener.once('exit', (code) => reject(new Error(`the listener ended: ${code}`))); });
  station = connect(port, '127.0.0.1');
  await new Promise<void>((resolve) => station.once('connect', resolve));
}, 180_000);
afterAll(async () => { station?.destroy(); listener?.kill('SIGTERM'); await world?.close(); });
beforeEach(({ onTestFailed }) => onTestFailed(async () => { await picture('failed').catch(() => undefined); }));

async function answer(group: string | RegExp, choice: string): Promise<void> {
  await page.getByRole('group', { name: group }).first().getByRole('radio', { name: choice, exact: true }).focus();
  await page.keyboard.press('Space');
}

describe('on site', () => {
  it('fourteen devices are tripped in one hold while the station’s events come by socket', async () => {
    await act(`/api/visits/${visitId}/open`, { id: crypto.randomUUID(), ...minutesAgo(12) });
    const view = await shown();
    expect(view.devices).toHaveLength(14);
    await act(`/api/visits/${visitId}/holds`, { id: crypto.randomUUID(), accountId: view.accounts[0]!.id, parts: [], stationReference: 'REF-77', operatorName: 'Ines Porto', untilAt: new Date(Date.now() + 3_600_000).toISOString(), ...minutesAgo(11) });
    const device = (room: string) => view.devices.find((one) => one.label === `Contact ${room}`)!;
    // The silent one was tripped five minutes ago: its time is over.
    await check('device', device('cellar').id, 'detector-actuation', GOOD, minutesAgo(5));
    for (const room of ROOMS.filter((one) => one !== 'cellar' && one !== 'porch')) {
      await check('device', device(room).id, 'detector-actuation', GOOD, minutesAgo(0));
      expect(await send(room === 'garage' ? 33 : device(room).zone)).toContain('ACK');
    }
    // One of them on the screen, with its moment taken.
    await page.goto(`${world.line.url}/visits/${visitId}`);
    await page.getByRole('button', { name: /Contact porch.*: Detector/ }).click();
    await page.getByRole('button', { name: 'Tripped now' }).click();
    await page.getByText('by this phone’s clock').waitFor();
    for (const group of ['Seen at the control unit', 'Right zone', 'Right text']) await answer(group, 'Yes');
    await answer(/alarm of this zone at the station/, 'Came');
    await picture('check');
    await page.getByRole('button', { name: 'Keep check' }).click();
    expect(await send(device('porch').zone)).toContain('ACK');
    await page.getByRole('button', { name: /Contact porch.*pass/ }).waitFor();
  });

  it('the round trip shows the wrong zone and the silent one; recorded, they count', async () => {
    await page.getByText('12 of 14 heard right').waitFor();
    await page.getByRole('row', { name: /wrong zone.*garage/ }).waitFor();
    await page.getByRole('row', { name: /not received.*cellar/ }).waitFor();
    await page.getByRole('img', { name: /Zipper of 14 teeth: 12 joined, 2 not/ }).scrollIntoViewIfNeeded();
    await page.getByRole('img', { name: /Zipper/ }).screenshot({ path: join(PICTURES, 'on-site-zipper.png') });
    await page.getByRole('button', { name: 'Record this comparison' }).click();
    await page.getByText(/Raised: .*Contact cellar/).waitFor();
    const { checks, devices } = await shown();
    const silent = devices.find((one) => one.label === 'Contact cellar')!.id;
    expect(checks.filter((one) => one.subjectId === silent).map((one) => one.verdict)).toEqual(['pass', 'fail']);
    const { rows } = await world.ask<{ rows: { title: string }[] }>('/api/deficiencies');
    expect(rows.map((row) => row.title)).toEqual(expect.arrayContaining([expect.stringContaining('Arrives as another zone than 7'), expect.stringContaining('Contact cellar')]));
  });

  it('an excused cover contact is proven again, an unregistered path is excused, a failed battery is replaced and proven', async () => {
    const view = await shown();
    const system = view.systems[0]!.id;
    await check('system', system, 'enclosure-tamper', { reported: false, restored: false }, { outcome: 'excused', excuseCode: 'cover-open', reason: 'cover is open for the work' });
    const cellular = view.paths.find((one) => one.name === 'Cellular')!.id;
    const excused = await check('path', cellular, 'transmission-path', { receivedAtStation: false }, { outcome: 'excused', excuseCode: 'not-yet-registered', reason: 'the station has not registered it' });
    expect(excused.check.verdict).toBe('excused');
    await check('battery', view.batteries[0]!.id, 'battery-on-load', { capacityPct: 55 }, minutesAgo(0));
    await page.reload();
    await page.getByText(/Intrusion.*: excused \(cover open\), owed again/).waitFor();
    await page.getByRole('button', { name: 'A part was replaced' }).click();
    await page.getByLabel('What was replaced').selectOption({ label: 'Standby battery (battery)' });
    await page.getByLabel('Why').fill('55 % left');
    await answer('Date of make on the new one’s label', 'Not legible');
    await page.getByRole('button', { name: 'Record the replacement' }).click();
    const fresh = await until('the new battery', async () => (await shown()).batteries.find((one) => one.id !== view.batteries[0]!.id));
    await page.getByRole('button', { name: /Standby battery: Standby battery on load.*to do/ }).waitFor();
    await picture('replaced');
    expect((await check('battery', fresh.id, 'battery-on-load', { capacityPct: 101 })).check.verdict).not.toBe('fail');
    await check('system', system, 'enclosure-tamper', { reported: true, restored: true });
  });

  it('what is out of normal goes back, live proof is seen, and the close lists what is owed', async () => {
    const before = await shown();
    await page.reload();
    for (let left = before.putBack.filter((item) => item.putBackAt === null).length; left > 0; left -= 1) {
      await page.getByRole('button', { name: 'Is back' }).first().click();
      await until('one token less', async () => (await shown()).putBack.filter((item) => item.putBackAt === null).length < left);
    }
    await page.getByRole('button', { name: 'Close the hold' }).click();
    await page.getByLabel('Operator who confirmed it is off test').fill('Ines Porto');
    await page.getByRole('textbox', { name: /^Signals the station/ }).fill('13');
    await page.getByRole('button', { name: 'The station confirmed: off test' }).click();
    await page.getByRole('button', { name: 'Record live proof' }).click();
    await page.getByLabel('Signal sent').fill('set and unset');
    await page.getByLabel('Operator who saw it as live').fill('Ines Porto');
    await page.getByRole('button', { name: 'The station saw it live' }).click();
    await page.getByText('Nothing stands in the way of leaving').waitFor();
    await page.getByText(/stay owed after this/).click();
    const listed = (await page.locator('details', { hasText: 'stay owed after this' }).getByRole('listitem').allTextContents()).map((text) => text.replace(/, lapses .*/, ''));
    await page.getByText('The station, from its history').or(page.getByText('The technician, on site')).first().waitFor();
    for (const [colorScheme, width] of [['light', 390], ['dark', 390], ['dark', 1440]] as const) {
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize({ width, height: width === 390 ? 844 : 1000 });
      const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa']).analyze();
      expect(violations.map((one) => `${colorScheme} ${width}: ${one.id}: ${one.nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth), `${colorScheme} ${width} scrolls sideways`).toBe(true);
      await picture(`leaving-${colorScheme}-${width}`);
    }
    await page.emulateMedia({ colorScheme: 'light' });
    await page.setViewportSize({ width: 390, height: 844 });
    await page.getByRole('button', { name: 'Close visit' }).click();
    await page.getByLabel('Signed by').fill('Ada Baker');
    await page.getByRole('dialog').getByRole('button', { name: 'Close visit' }).click();
    await until('the visit to be closed', async () => (await shown()).visit.state === 'closed');
    const after = await shown();
    expect(listed).toEqual([...after.owed.duties.map((one) => `${one.title}: ${one.subjectName}`), ...after.owed.deficiencies.map((one) => one.title)]);
    expect(after.owed.duties.map((one) => one.id).toSorted()).toEqual(after.duties.filter((one) => one.metByCheckId === null).map((one) => one.id).toSorted());
  });

  it('a step that would signal is interrupted when no hold covers it, and when the hold ends in its middle', async () => {
    const id = crypto.randomUUID();
    const { rows } = await world.ask<{ rows: { id: string; title: string }[] }>('/api/deficiencies');
    await world.ask('/api/deficiencies/plan-retest', { id, deficiencyIds: [rows.find((row) => row.title.includes('Contact cellar'))!.id] });
    await page.clock.install();
    await page.goto(`${world.line.url}/visits/${id}`);
    await page.getByRole('button', { name: 'Start visit' }).click();
    await page.getByRole('button', { name: /Contact cellar.*: Detector/ }).click();
    await page.getByText('live - will dispatch').waitFor();
    await picture('live');
    await page.getByRole('button', { name: 'Put the account on test' }).click();
    await page.getByLabel('Station’s reference').fill('REF-78');
    await page.getByLabel('Operator’s name').fill('Ines Porto');
    await page.getByRole('textbox', { name: /^For how long/ }).fill('10');
    await page.getByRole('button', { name: 'The station confirmed: on test' }).click();
    await answer('Seen at the control unit', 'Yes');
    expect(await page.getByText('live - will dispatch').count()).toBe(0);
    // Driving off with the account on test: the phone says so, and the house hears how far.
    await page.context().setGeolocation({ latitude: 41.9, longitude: -4.6 });
    await page.context().grantPermissions(['geolocation']);
    await page.context().setGeolocation({ latitude: 41.91, longitude: -4.6 });
    await page.getByText(/You are (0\.69 mi|1\.1 km) away and the account is still on test/).waitFor();
    await until('the house to know', async () => (await world.ask<{ facts: { kind: string }[] }>(`/api/visits/${id}`)).facts.some((fact) => fact.kind === 'left-site'));
    await page.context().setGeolocation({ latitude: 41.9001, longitude: -4.6 });
    await page.getByText(/You are .* m away/).waitFor({ state: 'detached' });
    await page.clock.fastForward(11 * 60_000);
    await page.getByText('live - will dispatch').waitFor();
    await picture('ended');
    // What was entered is still here after it, and after a reload.
    await page.reload();
    await page.getByRole('button', { name: /Contact cellar.*half-entered here/ }).waitFor();
  });
});
