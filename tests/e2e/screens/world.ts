import { existsSync } from 'node:fs';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { DEMO_SIGN_INS, seedDemo } from '@bellround/demo';
import { openHouse, until, type House } from '../../house.js';

// The invented company with a day under way: what every screen has to show, so that no screen is looked at empty that is full in use.
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--force-color-profile=srgb', '--hide-scrollbars'];
const NEWCOMER = { email: 'newcomer@brackwater.example', password: 'a long enough pass' };

export type Who = 'owner' | 'dispatcher' | 'technician' | 'newcomer' | 'nobody';

export interface Ids {
  /** a site with much to tell, one of its duties, a visit of it that is being worked, one that waits, one that was closed */
  siteId: string; dutyId: string; openVisitId: string; nextVisitId: string; closedVisitId: string;
  programmeId: string; monday: string; nextMonday: string; leftPlanId: string; rightPlanId: string; audit: string; plannedVisitId: string;
}

export interface ScreenWorld {
  readonly url: string;
  readonly ids: Ids;
  readonly browser: Browser;
  pageOf(who: Who): Promise<Page>;
  close(): Promise<void>;
}

/** `at`: an address where the demo runs already; without it a house is opened and filled. */
export async function openScreenWorld(at?: string): Promise<ScreenWorld> {
  if (!CHROMIUM) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
  const house = at ? null : await filledHouse();
  const url = at ?? house!.url;
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  const contexts = new Map<Who, Promise<BrowserContext>>();
  const contextOf = (who: Who): Promise<BrowserContext> => {
    const known = contexts.get(who);
    if (known) return known;
    const made = signedIn(browser, url, who);
    contexts.set(who, made);
    return made;
  };
  const ids = await dayUnderWay(contextOf, url);
  return {
    url, ids, browser,
    pageOf: async (who) => (await contextOf(who)).newPage(),
    close: async () => { await browser.close(); await house?.close(); },
  };
}

async function filledHouse(): Promise<House> {
  const house = await openHouse({ worker: true });
  await seedDemo(house.test.database, { now: new Date() });
  house.bellround('company', 'add', '--slug', 'brackwater', '--name', 'Brackwater Alarm Care', '--tz', 'Europe/Madrid');
  house.bellround('user', 'add', '--company', 'brackwater', '--email', NEWCOMER.email, '--name', 'Nia Brack', '--role', 'owner', '--password', NEWCOMER.password);
  return house;
}

async function signedIn(browser: Browser, url: string, who: Who): Promise<BrowserContext> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 1000 }, serviceWorkers: 'block', reducedMotion: 'reduce', locale: 'en-GB', timezoneId: 'Europe/Madrid' });
  if (who === 'nobody') return context;
  const { email, password } = who === 'newcomer' ? NEWCOMER : DEMO_SIGN_INS.find((one) => one.role === who)!;
  const answer = await context.request.post(`${url}/api/sign-in`, { data: { email, password } });
  if (!answer.ok()) throw new Error(`sign in of ${who}: ${answer.status()} ${await answer.text()}`);
  return context;
}

interface Row { id: string }
interface WeekShown { plan: { id: string; state: string; revision: number } | null; rounds: { stops: { visitId: string }[] }[] }
interface VisitRow extends Row { siteId: string; siteName: string; state: string }

/** Two visits for today, one of them in the middle of its work; a draft of the week beside what is published; an auditor's address. */
async function dayUnderWay(contextOf: (who: Who) => Promise<BrowserContext>, url: string): Promise<Ids> {
  const [dispatcher, technician, owner] = await Promise.all([contextOf('dispatcher'), contextOf('technician'), contextOf('owner')]);
  const asker = (of: BrowserContext) => async <T>(path: string, data?: object): Promise<T> => {
    const answer = data ? await of.request.post(`${url}${path}`, { data }) : await of.request.get(`${url}${path}`);
    if (!answer.ok()) throw new Error(`${path}: ${answer.status()} ${await answer.text()}`);
    return (await answer.json()) as T;
  };
  const [plan, work, own] = [asker(dispatcher), asker(technician), asker(owner)];
  const { technicianId } = await work<{ technicianId: string }>('/api/me');
  const today = new Intl.DateTimeFormat('en-CA', { timeZone: 'Europe/Madrid' }).format(new Date());
  // the demo publishes the running week, at a weekend the coming one
  const weekday = (new Date(`${today}T12:00:00Z`).getUTCDay() + 6) % 7;
  const monday = shiftDay(today, (weekday > 4 ? 7 : 0) - weekday);
  const standing = (await plan<{ rows: { siteId: string; name: string }[] }>('/api/standing?strips=no&standing=lapsed&limit=40')).rows;
  const busy = new Set((await plan<{ rows: VisitRow[] }>(`/api/visits?from=${today}&to=${today}&limit=100`)).rows.map((one) => one.siteId));
  const free = standing.filter((one) => !busy.has(one.siteId));
  const made: VisitRow[] = [];
  for (const { siteId } of free) {
    if (made.length === 2) break;
    const id = crypto.randomUUID();
    const reply = await dispatcher.request.post(`${url}/api/visits`, { data: { id, siteId, pick: 'minimum', day: today, startMin: made.length === 0 ? 540 : 690, technicianId } });
    if (reply.ok()) made.push(await reply.json() as VisitRow);
  }
  const [open, next] = [made[0]!, made[1]!];
  const now = () => ({ deviceClockAt: new Date().toISOString(), deviceClockNow: new Date().toISOString() });
  await work(`/api/visits/${open.id}/open`, { id: crypto.randomUUID(), ...now() });
  const view = await work<{ accounts: Row[]; toDo: { checkKind: string; subjectKind: string; subjectId: string; mayRaiseSignals?: boolean }[] }>(`/api/visits/${open.id}`);
  if (view.accounts[0]) await work(`/api/visits/${open.id}/holds`, { id: crypto.randomUUID(), accountId: view.accounts[0].id, parts: [], stationReference: 'W-4471', operatorName: 'Ines Porto', untilAt: new Date(Date.now() + 5_400_000).toISOString(), ...now() });
  for (const { checkKind, subjectKind, subjectId } of view.toDo.filter((one) => one.checkKind === 'detector-actuation').slice(0, 2)) {
    await work(`/api/visits/${open.id}/checks`, { id: crypto.randomUUID(), checkKind, subjectKind, subjectId, readings: { seenAtPanel: true, rightZone: true, rightText: true, secondsToShow: 2, receivedAtStation: true }, ...now() });
  }
  const nextMonday = shiftDay(monday, 7);
  const leftPlanId = crypto.randomUUID();
  await plan(`/api/weeks/${nextMonday}/plans`, { planId: leftPlanId, seconds: 2, seed: 7 });
  const week = await until('the plan of the next week', async () => {
    const shown = await plan<WeekShown>(`/api/weeks/${nextMonday}`);
    return shown.plan?.id === leftPlanId && shown.plan.state === 'draft' ? shown : null;
  }, 60_000);
  const rightPlanId = crypto.randomUUID();
  await plan(`/api/plans/${leftPlanId}/copy`, { newPlanId: rightPlanId });
  const stop = week.rounds.flatMap((round) => round.stops)[3]!;
  // the copy is another plan, or there would be nothing to compare
  const right = await plan<WeekShown>(`/api/weeks/${nextMonday}?planId=${rightPlanId}`);
  const { rows: places } = await plan<{ rows: { technicianId: string; day: string; position: number; breaks: string[] }[] }>(`/api/plans/${rightPlanId}/places/${stop.visitId}`);
  const place = places.filter((one) => one.breaks.length === 0).at(-1);
  if (place) await plan(`/api/plans/${rightPlanId}/move`, { revision: right.plan!.revision, visitId: stop.visitId, technicianId: place.technicianId, day: place.day, position: place.position });
  const sites = await plan<{ duties: Row[] }>(`/api/sites/${open.siteId}/standing`);
  const programmeId = (await plan<{ rows: Row[] }>('/api/programmes')).rows[0]!.id;
  const closed = (await plan<{ rows: VisitRow[] }>(`/api/visits?siteId=${open.siteId}&state=closed&limit=1`)).rows[0]!;
  const { url: address } = await own<{ url: string }>('/api/auditor-links', { forWhom: 'Halden insurance office', siteIds: free.slice(0, 3).map((one) => one.siteId), lastDay: shiftDay(today, 30) });
  return {
    siteId: open.siteId, dutyId: sites.duties[0]!.id, openVisitId: open.id, nextVisitId: next.id, closedVisitId: closed.id, programmeId, monday, nextMonday, leftPlanId, rightPlanId,
    audit: new URL(address).pathname, plannedVisitId: stop.visitId,
  };
}

function shiftDay(day: string, by: number): string {
  return new Date(Date.parse(`${day}T12:00:00Z`) + by * 86_400_000).toISOString().slice(0, 10);
}
