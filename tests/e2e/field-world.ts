import { existsSync } from 'node:fs';
import { chromium, type Browser, type BrowserContext, type BrowserContextOptions, type Page } from 'playwright-core';
import { openHouse, type House } from '../house.js';
import { openLine, type Line } from './line.js';

// A small company whose technician has two visits today: enough for a day in the field, made over the API in a second or two.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
export const PASSWORD = 'a long enough pass';
const HOURS = 'Mon-Sun 00:00-23:59';
const FILES: Record<string, string> = {
  clients: 'key,name\nC-1,Ostrel traders\n',
  sites: `key,client,name,address,locality,latitude,longitude,time_zone,occupancy,access_hours,access_notes,taken_over_on\nS-1,C-1,Ostrel bakery,1 Mill Lane,Ostrel,41.90,-4.60,Europe/Madrid,shop,${HOURS},Ring twice at the yard door,2020-01-15\nS-2,C-1,Tarn Hollow bookshop,2 Weir Row,Tarn Hollow,41.93,-4.65,Europe/Madrid,shop,${HOURS},,2020-01-15\n`,
  systems: 'key,site,kind,name,grade,installed_on,standby_ma,alarm_ma,standby_hours,alarm_min\nY-1,S-1,intrusion,Intrusion,2,2020-01-20,120,800,12,15\nY-2,S-2,intrusion,Intrusion,2,2020-01-20,120,800,12,15\n',
  devices: 'key,system,kind,link,label,room,installed_on\nD-1,Y-1,contact,wireless,Front door contact,Hall,2020-01-20\nD-2,Y-1,motion,wired,Counter motion,Counter,2020-01-20\nD-3,Y-2,contact,wired,Door contact,Hall,2020-01-20\n',
  batteries: 'key,system,label,chemistry,nominal_v,rated_ah,made_on,fitted_on\nB-1,Y-1,Standby battery,lead-acid-sealed,12,7,2024-11,2025-01-15\nB-2,Y-2,Standby battery,lead-acid-sealed,12,7,2024-11,2025-01-15\n',
  paths: 'key,system,rank,technology,label,supervision_s,test_interval_min,registered,installed_on\nP-1,Y-1,1,ethernet,Ethernet,1800,1440,yes,2020-01-20\nP-2,Y-2,1,ethernet,Ethernet,1800,1440,yes,2020-01-20\n',
  accounts: 'station,station_name,number,site,systems,status\nW-1,Stonepier Watch Room,7001,S-1,Y-1,live\nW-1,Stonepier Watch Room,7002,S-2,Y-2,live\n',
  technicians: `key,name,email,latitude,longitude,time_zone,shifts,skills\nT-1,Tess Amaru,tess@quillmere.example,41.91,-4.62,Europe/Madrid,${HOURS.replace('23:59', '23:30')},intrusion; fire\nT-2,Jonas Berg,jonas@quillmere.example,41.91,-4.62,Europe/Madrid,${HOURS.replace('23:59', '23:30')},intrusion; fire\n`,
};
const PHONE: BrowserContextOptions = { viewport: { width: 390, height: 844 }, hasTouch: true };

export interface FieldWorld {
  readonly house: House;
  readonly browser: Browser;
  /** between every phone of this world and the house */
  readonly line: Line;
  readonly today: string;
  readonly visits: readonly { id: string; siteId: string; siteName: string }[];
  readonly technicians: readonly { id: string; name: string }[];
  /** asks the house past the line, as its owner */
  ask<T>(path: string, body?: object): Promise<T>;
  /** a signed-in phone of its own */
  phone(email: string, more?: BrowserContextOptions): Promise<{ context: BrowserContext; page: Page }>;
  /** a context of its own, for who is not signed in yet or sits at a desk */
  context(more?: BrowserContextOptions): Promise<BrowserContext>;
  signIn(page: Page, email: string, url?: string): Promise<void>;
  close(): Promise<void>;
}

/** Lets somebody sign in on `page`, at the line's address unless another is given. */
async function signIn(page: Page, email: string, url: string): Promise<void> {
  page.setDefaultTimeout(15_000);
  await page.goto(url);
  await page.getByLabel('E-mail').fill(email);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('button', { name: /Sign out|Contents/ }).first().waitFor();
}

const ORDER = ['clients', 'sites', 'systems', 'zones', 'devices', 'batteries', 'paths', 'accounts', 'technicians'];

/** `files` stand in place of the fleet's own, kind by kind; `env` are settings of the house. */
export async function openFieldWorld(files: Readonly<Record<string, string>> = {}, env: Record<string, string> = {}): Promise<FieldWorld> {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  const house = await openHouse({ env });
  house.bellround('company', 'add', '--slug', 'quillmere', '--name', 'Quillmere Alarm Care', '--tz', 'Europe/Madrid');
  house.bellround('user', 'add', '--email', 'owner@quillmere.example', '--name', 'Olive Owner', '--role', 'owner', '--password', PASSWORD);
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  const line = await openLine(house.url);
  const cookie = await sessionOf(house.url, 'owner@quillmere.example');
  const ask = async <T>(path: string, body?: object | string): Promise<T> => {
    const isCsv = typeof body === 'string';
    const reply = await fetch(`${house.url}${path}`, { headers: { cookie, ...(body === undefined ? {} : { 'content-type': isCsv ? 'text/csv' : 'application/json' }) }, ...(body === undefined ? {} : { method: 'POST', body: isCsv ? body : JSON.stringify(body) }) });
    if (!reply.ok) throw new Error(`${path}: ${reply.status} ${await reply.text()}`);
    return (await reply.json()) as T;
  };
  const today = new Intl.DateTimeFormat('en-CA', { timeZone: 'Europe/Madrid' }).format(new Date());
  for (const kind of ORDER) {
    const text = files[kind] ?? FILES[kind];
    if (text === undefined) continue;
    const runId = crypto.randomUUID();
    for (const mode of ['preview', 'keep']) {
      const run = await ask<{ rowsHeld: number }>(`/api/imports/${kind}?${new URLSearchParams({ runId, fileName: `${kind}.csv`, mode }).toString()}`, text);
      if (run.rowsHeld > 0) throw new Error(`${kind}.csv: ${run.rowsHeld} rows held`);
    }
  }
  const library = await ask<{ rows: { key: string; title: string }[] }>('/api/programme-library');
  const programme = library.rows.find((one) => one.title.startsWith('Intrusion, graded, remotely signalled'))!;
  const programmeId = crypto.randomUUID();
  await ask('/api/programmes/adopt', { id: programmeId, libraryKey: programme.key });
  await ask(`/api/programmes/${programmeId}/apply`, { from: today, systems: {} });
  const technicians = (await ask<{ rows: { id: string; name: string }[] }>('/api/technicians')).rows;
  for (const { id, name } of technicians) {
    const first = name.split(' ')[0]!;
    await ask('/api/users', { id: crypto.randomUUID(), email: `${first.toLowerCase()}@quillmere.example`, name, role: 'technician', technicianId: id, password: PASSWORD });
  }
  const tess = technicians.find((one) => one.name.startsWith('Tess'))!;
  const sites = (await ask<{ rows: { id: string; name: string }[] }>('/api/sites')).rows;
  const visits = [];
  for (const [at, site] of sites.entries()) {
    const id = crypto.randomUUID();
    await ask('/api/visits', { id, siteId: site.id, pick: 'minimum', day: today, startMin: 540 + 120 * at, technicianId: tess.id });
    visits.push({ id, siteId: site.id, siteName: site.name });
  }
  const context = (more: BrowserContextOptions = {}) => browser.newContext({ ...PHONE, ...more });
  return {
    house, browser, line, today, visits, technicians, ask, context,
    signIn: (page, email, url = line.url) => signIn(page, email, url),
    phone: async (email, more) => {
      const own = await context(more);
      const page = await own.newPage();
      await signIn(page, email, line.url);
      return { context: own, page };
    },
    close: async () => { await browser.close(); await line.close(); await house.close(); },
  };
}

async function sessionOf(url: string, email: string): Promise<string> {
  const reply = await fetch(`${url}/api/sign-in`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ email, password: PASSWORD }) });
  if (!reply.ok) throw new Error(`sign-in of ${email}: ${reply.status} ${await reply.text()}`);
  return reply.headers.getSetCookie()[0]!.split(';')[0]!;
}
