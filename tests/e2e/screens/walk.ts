import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page, Request } from 'playwright-core';
import type { View } from './views.js';
import type { ScreenWorld } from './world.js';

export const WIDTHS = [320, 390, 768, 1440, 2560] as const;
/** What a picture in the guide may weigh. */
const MOST_BYTES = 36_000;
const DESK_SCALE = 0.66;
export type Theme = 'light' | 'dark';
const DESK = { width: 1440, height: 1000 };
const PHONE = { width: 390, height: 844 };
const require = createRequire(createRequire(import.meta.url).resolve('@axe-core/playwright'));
const AXE = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

/** A page with what its console said and what it is fetching; the live notices never end and are left out. */
interface Watched { readonly page: Page; readonly said: string[]; readonly fetching: Set<Request> }

/** Where pictures go, how long one may be, and as what. */
export interface Pictures { readonly folder: string; readonly longest: number; readonly format: 'webp' | 'png' }

/** Opens views one after the other on one page per person, without loading the app anew for each. */
export class Walker {
  readonly #pages = new Map<string, Promise<Watched>>();

  constructor(private readonly world: ScreenWorld, private readonly patienceMs = 60_000) {}

  async #pageFor(view: View): Promise<Watched> {
    const known = this.#pages.get(view.who);
    if (known) return known;
    const made = this.world.pageOf(view.who).then(async (page) => {
      const said: string[] = [];
      const fetching = new Set<Request>();
      page.on('request', (request) => { if (!request.url().endsWith('/api/changes')) fetching.add(request); });
      page.on('requestfinished', (request) => fetching.delete(request));
      page.on('requestfailed', (request) => fetching.delete(request));
      page.setDefaultTimeout(this.patienceMs);
      page.on('console', (message) => { if (message.type() === 'error') said.push(`console: ${message.text()}`); });
      page.on('pageerror', (error) => said.push(`page: ${error.message}`));
      await page.goto(`${this.world.url}/about`);
      return { page, said, fetching };
    });
    this.#pages.set(view.who, made);
    return made;
  }

  /** Shows a view at a size; resolves when nothing is being fetched any more. */
  async open(view: View, size: { width: number; height: number }): Promise<Page> {
    const { page, fetching } = await this.#pageFor(view);
    await page.setViewportSize(size);
    await page.mouse.move(0, 0);
    // Away and back: a view that was changed by pressing begins anew.
    await go(page, '/no-such-page-between');
    await go(page, view.path);
    await settled(page, fetching);
    if (view.then) { await view.then(page); await settled(page, fetching); }
    return page;
  }

  /**
   * What is wrong with a view: axe in both themes (at a desk by day, on a phone by night), what scrolls sideways, what the console said, raw
   * values.
   */
  async look(view: View): Promise<string[]> {
    const { said } = await this.#pageFor(view);
    said.length = 0;
    const page = await this.open(view, view.phone ? PHONE : DESK);
    const faults = [...await axe(page, 'light'), ...await rawValues(page)];
    if (!view.refuses && await page.locator('.problem').count() > 0) faults.push(`says: ${(await page.locator('.problem').first().innerText()).slice(0, 200)}`);
    for (const width of WIDTHS) {
      await page.setViewportSize({ width, height: 900 });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (over > 0) faults.push(`${width} px wide: ${over} px to scroll sideways`);
    }
    await page.setViewportSize(PHONE);
    faults.push(...await axe(page, 'dark'));
    const heard = view.refuses || view.who === 'nobody' ? said.filter((one) => !/status of 40[0-9]/.test(one)) : said;
    return [...faults, ...heard].map((fault) => `${view.name}: ${fault}`);
  }

  /** Pictures of a view: desk and phone, by day and by night. */
  async draw(view: View, pictures: Pictures): Promise<void> {
    const page = await this.open(view, view.phone ? PHONE : DESK);
    if (!view.phone) await draw(page, view, 'desk', pictures);
    await page.setViewportSize(PHONE);
    await draw(page, view, 'phone', pictures);
  }
}

/** One picture by day and one by night, as long as the page, at most `longest`. */
async function draw(page: Page, view: View, place: 'desk' | 'phone', { folder, longest, format }: Pictures): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const size = place === 'desk' ? DESK : PHONE;
  await page.setViewportSize(size);
  await page.evaluate(() => scrollTo(0, 0));
  const isOver = await page.locator('dialog[open]').count() > 0;
  const height = isOver ? size.height : await page.evaluate(() => document.documentElement.scrollHeight);
  await page.setViewportSize({ ...size, height: Math.min(longest, Math.max(size.height, height)) });
  for (const [time, theme] of [['day', 'light'], ['night', 'dark']] as const) {
    await setTheme(page, theme);
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    writeFileSync(join(folder, `${view.name}-${place}-${time}.${format}`), await shot(page, format, place === 'desk' ? DESK_SCALE : 1));
  }
  await setTheme(page, 'light');
}

async function go(page: Page, path: string): Promise<void> {
  await page.evaluate((to) => { history.pushState({}, '', to); dispatchEvent(new PopStateEvent('popstate', { state: {} })); scrollTo(0, 0); }, path);
}

/** Until nothing is fetched or computed any more, and still not two frames later: what has just come may ask for more. */
async function settled(page: Page, fetching: ReadonlySet<Request>): Promise<void> {
  for (let quiet = 0; quiet < 2;) {
    await page.waitForFunction(() => document.querySelector('h1,h2') !== null && document.querySelector('.loading') === null);
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    quiet = fetching.size === 0 ? quiet + 1 : 0;
  }
}

const setTheme = (page: Page, theme: Theme) => page.evaluate((to) => { document.documentElement.dataset['theme'] = to; }, theme);

async function axe(page: Page, theme: Theme): Promise<string[]> {
  await setTheme(page, theme);
  if (!await page.evaluate(() => 'axe' in window)) await page.evaluate(AXE);
  const found = await page.evaluate(async () => {
    interface Found { violations: { id: string; nodes: { target: string[] }[] }[] }
    const { violations } = await (window as unknown as { axe: { run(of: Document, how: object): Promise<Found> } }).axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa'], resultTypes: ['violations'] });
    return violations.map((one) => `${one.id}: ${one.nodes.slice(0, 3).map((node) => node.target.join(' ')).join(', ')}`);
  });
  await setTheme(page, 'light');
  return found.map((one) => `axe, ${theme}: ${one}`);
}

/** Values that were never meant for a reader. */
async function rawValues(page: Page): Promise<string[]> {
  const text = await page.locator('body').innerText();
  return [...new Set(text.match(/\b[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-|\bundefined\b|\bNaN\b|\[object \w+\]|\{[a-zA-Z]+\}/g) ?? [])].map((one) => `shows '${one}'`);
}

async function shot(page: Page, format: 'webp' | 'png', scale: number): Promise<Buffer> {
  if (format === 'png') return page.screenshot();
  const cdp = await page.context().newCDPSession(page);
  try {
    for (let quality = 60; ; quality -= 10) {
      const { data } = await cdp.send('Page.captureScreenshot', { format: 'webp', quality, clip: { x: 0, y: 0, ...page.viewportSize()!, scale } });
      const bytes = Buffer.from(data, 'base64');
      if (bytes.length < MOST_BYTES || quality <= 10) return bytes;
    }
  } finally {
    await cdp.detach();
  }
}
