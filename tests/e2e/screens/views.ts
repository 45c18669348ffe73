import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { ROOT } from '../../house.js';
import type { Ids, Who } from './world.js';

/** One thing to look at: a screen, or a state of it that hides the rest (a dialog, a drawer, an editor). */
export interface View {
  readonly name: string;
  /** the route it shows, as the app's list of screens writes it; what is no screen of that list says null */
  readonly route: string | null;
  readonly who: Who;
  readonly path: string;
  /** what has to be pressed before it stands there */
  readonly then?: (page: Page) => Promise<void>;
  /** said by the page on purpose, as an alert */
  readonly refuses?: boolean;
  /** what is pressed is there on a phone only */
  readonly phone?: boolean;
}

const press = (name: string | RegExp) => (page: Page) => page.getByRole('button', { name }).first().click();
const CSV = 'key,client,name,address,locality,latitude,longitude,time_zone,occupancy,access_hours,taken_over_on\nS-9001,C-001,Larch Row depot,1 Larch Row,Tolverne,41.9,-4.6,Europe/Madrid,shop,Mon-Fri 08:00-16:00,2024-02-30\nS-9002,C-001,Larch Row annex,2 Larch Row,Tolverne,41.9,-4.6,Europe/Madrid,shop,Mon-Fri 08:00-16:00,2024-02-01\n';

export const views = (ids: Ids): readonly View[] => [
  { name: 'sign-in', route: null, who: 'nobody', path: '/' },
  { name: 'sign-in-refused', route: null, who: 'nobody', path: '/', refuses: true, then: async (page) => { await page.getByLabel('E-mail').fill('somebody@tolverne.example'); await page.getByLabel('Password').fill('not the pass'); await press('Sign in')(page); await page.getByRole('alert').waitFor(); } },
  { name: 'audit', route: '/audit/:secret', who: 'nobody', path: ids.audit },
  { name: 'audit-site', route: '/audit/:secret/sites/:siteId', who: 'nobody', path: ids.audit, then: async (page) => { await page.getByRole('link').nth(1).click(); await page.getByText('Where the duties come from').waitFor(); } },
  { name: 'audit-nothing', route: '/audit/:secret', who: 'nobody', path: `/audit/${'x'.repeat(32)}`, refuses: true },

  { name: 'begin', route: '/begin', who: 'newcomer', path: '/' },
  { name: 'empty-week', route: '/week', who: 'newcomer', path: '/week' },
  { name: 'empty-loose-ends', route: '/loose-ends', who: 'newcomer', path: '/loose-ends' },
  { name: 'empty-squeeze', route: '/squeeze', who: 'newcomer', path: '/squeeze' },
  { name: 'empty-tide', route: '/tide', who: 'newcomer', path: '/tide' },
  { name: 'empty-standing', route: '/standing', who: 'newcomer', path: '/standing' },
  { name: 'empty-fleet', route: '/fleet', who: 'newcomer', path: '/fleet' },
  { name: 'empty-import', route: '/import', who: 'newcomer', path: '/import' },
  { name: 'empty-people', route: '/people', who: 'newcomer', path: '/people' },
  { name: 'empty-programmes', route: '/programmes', who: 'newcomer', path: '/programmes' },
  { name: 'empty-deficiencies', route: '/deficiencies', who: 'newcomer', path: '/deficiencies' },
  { name: 'empty-exposure', route: '/exposure', who: 'newcomer', path: '/exposure' },
  { name: 'empty-batteries', route: '/batteries', who: 'newcomer', path: '/batteries' },
  { name: 'empty-silences', route: '/silences', who: 'newcomer', path: '/silences' },
  { name: 'empty-receivers', route: '/receivers', who: 'newcomer', path: '/receivers' },
  { name: 'empty-lists', route: '/lists', who: 'newcomer', path: '/lists' },
  { name: 'empty-catch-up', route: '/catch-up', who: 'newcomer', path: '/catch-up' },
  { name: 'empty-closed-days', route: '/closed-days', who: 'newcomer', path: '/closed-days' },
  { name: 'empty-messages', route: '/messages', who: 'newcomer', path: '/messages' },
  { name: 'empty-labels', route: '/labels', who: 'newcomer', path: '/labels' },
  { name: 'empty-proof', route: '/proof', who: 'newcomer', path: '/proof' },
  { name: 'empty-auditors', route: '/auditors', who: 'newcomer', path: '/auditors' },
  { name: 'empty-activity', route: '/activity', who: 'newcomer', path: '/activity' },
  { name: 'empty-risk-model', route: '/risk-model', who: 'newcomer', path: '/risk-model' },

  { name: 'week', route: '/week', who: 'dispatcher', path: `/week?from=${ids.nextMonday}&plan=${ids.leftPlanId}` },
  { name: 'week-chosen', route: '/week', who: 'dispatcher', path: `/week?from=${ids.nextMonday}&plan=${ids.leftPlanId}&visit=${ids.plannedVisitId}` },
  { name: 'week-visit', route: '/week', who: 'dispatcher', path: `/week?from=${ids.nextMonday}&plan=${ids.leftPlanId}&visit=${ids.plannedVisitId}&open=visit` },
  { name: 'week-ask', route: '/week', who: 'dispatcher', path: `/week?from=${ids.nextMonday}&plan=${ids.leftPlanId}&ask=away` },
  { name: 'week-ask-urgent', route: '/week', who: 'dispatcher', path: `/week?from=${ids.nextMonday}&plan=${ids.leftPlanId}&ask=urgent` },
  { name: 'week-publish', route: '/week', who: 'dispatcher', path: `/week?from=${ids.nextMonday}&plan=${ids.leftPlanId}`, then: press('Publish week') },
  { name: 'week-under-way', route: '/week', who: 'dispatcher', path: `/week?from=${ids.monday}` },
  { name: 'week-compare', route: '/week/compare', who: 'dispatcher', path: `/week/compare?from=${ids.nextMonday}&left=${ids.leftPlanId}&right=${ids.rightPlanId}` },
  { name: 'week-record', route: '/week/record', who: 'dispatcher', path: `/week/record?from=${ids.monday}` },
  { name: 'loose-ends', route: '/loose-ends', who: 'dispatcher', path: '/loose-ends' },
  { name: 'loose-end', route: '/loose-ends', who: 'dispatcher', path: '/loose-ends?kind=call-to-make', then: (page) => page.locator('main table .button.bare').first().click() },
  { name: 'squeeze', route: '/squeeze', who: 'dispatcher', path: '/squeeze' },
  { name: 'fleet', route: '/fleet', who: 'dispatcher', path: '/fleet' },
  { name: 'fleet-site', route: '/fleet', who: 'dispatcher', path: `/fleet?site=${ids.siteId}` },
  { name: 'import', route: '/import', who: 'dispatcher', path: '/import' },
  { name: 'import-preview', route: '/import', who: 'dispatcher', path: '/import?kind=sites', then: async (page) => { await page.locator('input[type=file]').setInputFiles({ name: 'sites.csv', mimeType: 'text/csv', buffer: Buffer.from(CSV) }); await press('Preview the file')(page); await page.getByText(/2024-02-30/).first().waitFor(); } },
  { name: 'lists', route: '/lists', who: 'dispatcher', path: '/lists' },
  { name: 'people', route: '/people', who: 'dispatcher', path: '/people' },
  { name: 'technician', route: '/people', who: 'dispatcher', path: '/people', then: (page) => page.locator('main table .button.bare, main table a').first().click() },
  { name: 'programmes', route: '/programmes', who: 'dispatcher', path: '/programmes' },
  { name: 'programme', route: '/programmes/:programmeId', who: 'dispatcher', path: `/programmes/${ids.programmeId}` },
  { name: 'programme-edit', route: '/programmes/:programmeId', who: 'dispatcher', path: `/programmes/${ids.programmeId}`, then: press(/^(Edit|Change|Clone)/) },
  { name: 'duty', route: '/duties/:dutyId', who: 'dispatcher', path: `/duties/${ids.dutyId}` },
  { name: 'catch-up', route: '/catch-up', who: 'dispatcher', path: '/catch-up' },
  { name: 'closed-days', route: '/closed-days', who: 'dispatcher', path: '/closed-days' },
  { name: 'closed-days-add', route: '/closed-days', who: 'dispatcher', path: '/closed-days', then: press(/days of many sites|Add days/i) },
  { name: 'exposure', route: '/exposure', who: 'dispatcher', path: '/exposure' },
  { name: 'batteries', route: '/batteries', who: 'dispatcher', path: '/batteries' },
  { name: 'risk-model', route: '/risk-model', who: 'dispatcher', path: '/risk-model' },
  { name: 'deficiencies', route: '/deficiencies', who: 'dispatcher', path: '/deficiencies' },
  { name: 'deficiency', route: '/deficiencies', who: 'dispatcher', path: '/deficiencies', then: (page) => page.locator('main table .button.bare').first().click() },
  { name: 'silences', route: '/silences', who: 'dispatcher', path: '/silences' },
  { name: 'receivers', route: '/receivers', who: 'owner', path: '/receivers' },
  { name: 'receiver-add', route: '/receivers', who: 'owner', path: '/receivers', then: press(/^Add a receiver/) },
  { name: 'messages', route: '/messages', who: 'dispatcher', path: '/messages' },
  { name: 'activity', route: '/activity', who: 'dispatcher', path: '/activity' },
  { name: 'labels', route: '/labels', who: 'dispatcher', path: '/labels' },
  { name: 'find', route: null, who: 'dispatcher', path: '/settings', then: async (page) => { await page.keyboard.press('Control+k'); await page.getByRole('combobox', { name: /^Find a site/ }).fill('mill'); await page.getByRole('option').nth(2).waitFor(); } },

  { name: 'my-round', route: '/my-round', who: 'technician', path: '/my-round' },
  { name: 'visit-next', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.nextVisitId}` },
  { name: 'visit', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.openVisitId}` },
  { name: 'visit-check', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.openVisitId}`, then: (page) => page.getByRole('button', { name: /to do/ }).first().click() },
  { name: 'visit-battery', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.openVisitId}`, then: (page) => page.getByRole('button', { name: /attery.*to do/ }).first().click() },
  { name: 'visit-no-access', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.nextVisitId}`, then: press('No access') },
  { name: 'visit-stop', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.openVisitId}`, then: press(/^Stop here/) },
  { name: 'visit-closed', route: '/visits/:visitId', who: 'technician', path: `/visits/${ids.closedVisitId}` },
  { name: 'scan', route: '/scan', who: 'technician', path: '/scan' },
  { name: 'at-label', route: '/at/:kind/:labelId', who: 'technician', path: `/at/site/${ids.siteId}` },
  { name: 'contents', route: null, who: 'technician', path: '/my-round', phone: true, then: press('Contents') },

  { name: 'standing', route: '/standing', who: 'owner', path: '/standing' },
  { name: 'standing-filtered', route: '/standing', who: 'owner', path: '/standing?standing=late' },
  { name: 'overdue', route: '/overdue', who: 'owner', path: '/overdue' },
  { name: 'site', route: '/sites/:siteId', who: 'owner', path: `/sites/${ids.siteId}` },
  { name: 'tide', route: '/tide', who: 'owner', path: '/tide' },
  { name: 'proof', route: '/proof', who: 'owner', path: '/proof' },
  { name: 'auditors', route: '/auditors', who: 'owner', path: '/auditors' },
  { name: 'auditors-make', route: '/auditors', who: 'owner', path: '/auditors', then: press('Make an address') },
  { name: 'people-owner', route: '/people', who: 'owner', path: '/people' },
  { name: 'settings', route: '/settings', who: 'owner', path: '/settings' },
  { name: 'about', route: '/about', who: 'owner', path: '/about' },
  { name: 'nowhere', route: null, who: 'owner', path: '/no-such-page' },
];

/** Every address of the app, from the files that declare them: a new one without a view is found missing. */
export function routesOfTheApp(): string[] {
  const files = ['screens.tsx', 'router.tsx'].map((file) => readFileSync(join(ROOT, 'apps', 'web', 'src', 'app', file), 'utf8')).join('\n');
  return [...files.matchAll(/path: '(\/[^']*)'/g)].map((found) => found[1]!);
}
