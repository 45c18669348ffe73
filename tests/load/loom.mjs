// What a frame of dragging costs in the loom of forty technicians and twelve hundred visits over five days, in Chromium.
//   node tests/load/loom.mjs [--technicians 40] [--visits 1200] [--moves 300]
// Needs the web built (`npx -y pnpm@12.4.2 exec turbo run build --filter=@bellround/web`) and Chromium. No house runs: the app's own files are served from its
// build, and the week is an invented one. A knot is carried across the whole picture; processor time of the page's main thread is counted per frame.
import { existsSync, readFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';

const { values } = parseArgs({ options: { technicians: { type: 'string', default: '40' }, visits: { type: 'string', default: '1200' }, moves: { type: 'string', default: '300' } } });
const [technicians, visits, moves] = [Number(values.technicians), Number(values.visits), Number(values.moves)];
const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
if (!executablePath) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
const DIST = fileURLToPath(new URL('../../apps/web/dist/', import.meta.url));
const TYPES = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.json': 'application/json', '.woff2': 'font/woff2', '.woff': 'font/woff', '.svg': 'image/svg+xml', '.png': 'image/png', '.webmanifest': 'application/manifest+json' };
const ORIGIN = 'http://loom.invalid';
const DAYS = ['2027-03-01', '2027-03-02', '2027-03-03', '2027-03-04', '2027-03-05', '2027-03-06', '2027-03-07'];
const id = (kind, n) => `0190b000-0000-7000-8000-${kind}${String(n).padStart(11, '0')}`;

const week = inventedWeek();
const me = { userId: id(9, 1), companyId: id(9, 2), name: 'Dispatcher', email: 'desk@example.invalid', role: 'dispatcher', technicianId: null, company: { id: id(9, 2), slug: 'example', name: 'Example', timeZone: 'Europe/Madrid', locale: 'en' } };
const browser = await chromium.launch({ executablePath, args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'] });
try {
  const context = await browser.newContext({ viewport: { width: 1440, height: 1000 }, serviceWorkers: 'block' });
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  await page.route('**/*', (route) => answer(route));
  await page.goto(`${ORIGIN}/week?from=${DAYS[0]}`);
  await page.locator('.loom-knot').first().waitFor();
  await page.waitForTimeout(1500);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Performance.setTimeDomain', { timeDomain: 'threadTicks' }).catch(() => undefined);
  await cdp.send('Performance.enable');
  const box = await page.locator('.loom-frame').boundingBox();
  const knot = await page.locator('.loom-knot').nth(20).boundingBox();
  await page.mouse.move(knot.x + knot.width / 2, knot.y + knot.height / 2);
  await page.mouse.down();
  await page.evaluate(() => { window.frames_ = []; const tick = (t) => { window.frames_.push(t); window.raf_ = requestAnimationFrame(tick); }; window.raf_ = requestAnimationFrame(tick); });
  const before = await metrics(cdp);
  for (let i = 0; i < moves; i += 1) await page.mouse.move(box.x + 140 + ((box.width - 180) * i) / moves, box.y + 60 + (Math.sin(i / 12) * 0.5 + 0.5) * Math.min(box.height - 160, 760));
  const after = await metrics(cdp);
  const frames = await page.evaluate(() => { cancelAnimationFrame(window.raf_); return window.frames_; });
  const isCarried = await page.locator('.loom-ghost').count();
  await page.keyboard.press('Escape');
  await page.mouse.up();
  const gaps = frames.slice(1).map((t, i) => t - frames[i]).sort((a, b) => a - b);
  const each = (name) => Number(((1000 * (after[name] - before[name])) / frames.length).toFixed(2));
  console.log(JSON.stringify({ technicians, visits, knots: await page.locator('.loom-knot').count(), carried: isCarried === 1, moves, frames: frames.length, mainThreadMsPerFrame: each('TaskDuration'), scriptMsPerFrame: each('ScriptDuration'), layoutMsPerFrame: each('LayoutDuration'), styleMsPerFrame: each('RecalcStyleDuration'),
    frameGapMsMedian: round(gaps[Math.floor(gaps.length / 2)]), frameGapMsP95: round(gaps[Math.floor(gaps.length * 0.95)]), cores: cpus().length, load: loadavg().map(round) }));
} finally {
  await browser.close();
}

function round(x) { return Math.round(x * 100) / 100; }
async function metrics(cdp) { return Object.fromEntries((await cdp.send('Performance.getMetrics')).metrics.map((one) => [one.name, one.value])); }

function answer(route) {
  const { pathname } = new URL(route.request().url());
  const json = (body, status = 200) => route.fulfill({ status, contentType: status === 200 ? 'application/json' : 'application/problem+json', body: JSON.stringify(body) });
  if (pathname === '/api/me') return json(me);
  if (pathname.startsWith('/api/weeks/')) return json(week);
  if (pathname.endsWith('/preview-move')) return json({ plan: week.plan, rounds: week.rounds, unplaced: week.unplaced, delta: [{ name: 'travel', value: 100, unit: 'min', words: '', change: 7 }], broken: [] });
  if (pathname.startsWith('/api/')) return json({ type: 'urn:bellround:problem:not-found', title: 'Nothing here', status: 404, detail: 'not in this picture' }, 404);
  const file = join(DIST, pathname);
  const found = extname(pathname) !== '' && existsSync(file) ? file : join(DIST, 'index.html');
  return route.fulfill({ status: 200, contentType: TYPES[extname(found)] ?? 'application/octet-stream', body: readFileSync(found) });
}

function inventedWeek() {
  const shifts = DAYS.slice(0, 5).map((day) => ({ day, startMin: 480, endMin: 990 }));
  const people = Array.from({ length: technicians }, (_, n) => ({ id: id(1, n), name: `Technician ${n + 1}`, skills: ['intrusion'], pairOnly: false, homeLat: 41.8 + (n % 8) / 20, homeLon: -4.6 - (n % 5) / 20, shifts, absent: [], licences: [] }));
  const perRound = Math.ceil(visits / (technicians * 5));
  const all = Array.from({ length: visits }, (_, n) => ({ id: id(2, n), siteId: id(3, n), siteName: `Site ${n + 1}`, locality: null, title: 'Yearly', kind: 'programme', state: 'wanted', serviceMin: 40, persons: 1, skills: ['intrusion'], licences: [], lapsesOn: n % 7 === 0 ? DAYS[3] : null, dueOn: DAYS[6], overdue: n % 31 === 0, duties: 3, deficiencies: 0, score: null, lat: 41.7 + ((n * 37) % 400) / 1000, lon: -4.9 + ((n * 61) % 500) / 1000, promise: null, pinned: n % 40 === 0, windows: DAYS.slice(0, 5).map((day) => ({ day, startMin: 480, endMin: 1080 })) }));
  const rounds = people.flatMap((person, t) => DAYS.slice(0, 5).map((day, d) => {
    const from = (t * 5 + d) * perRound;
    const gap = 500 / perRound;
    return { technicianId: person.id, day, startMin: 480, endMin: 980, overtimeMin: 0, travelMin: 90, stops: all.slice(from, from + perRound).map((visit, s) => ({ visitId: visit.id, arriveMin: Math.round(488 + s * gap), startMin: Math.round(490 + s * gap), endMin: Math.round(490 + s * gap + gap * 0.7), travelMin: 8, waitMin: 2 })) };
  }));
  const plan = { id: id(4, 1), weekStart: DAYS[0], state: 'draft', revision: 1, createdAt: '2027-02-25T09:00:00.000Z', publishedAt: null, cost: [], placed: visits, unplaced: 0, progress: null, label: '', madeFrom: null };
  return { weekStart: DAYS[0], days: DAYS, today: '2027-02-25', plans: [plan], plan, rounds, unplaced: [], technicians: people, visits: all, lapsing: [], done: [], finishes: [], dayTravel: [] };
}
