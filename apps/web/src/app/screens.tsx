import type { Role } from '@bellround/contracts';
import type { ComponentType } from 'react';
import { phrase } from '../shared/language/index.js';

export interface Screen {
  /** address in the app; parameters as :siteId */
  readonly path: string;
  /** its name in the contents; null: reached from other screens only */
  readonly word: string | null;
  readonly load: () => Promise<{ default: ComponentType }>;
  /** who has it in their contents; absent: everybody */
  readonly roles?: readonly Role[];
}

/** Every screen of the app, one line each. A screen is a file of routes/ that composes features. */
export const screens: readonly Screen[] = [
  { path: '/week', word: phrase('app.week'), load: () => import('./routes/week.js') },
  { path: '/week/compare', word: null, load: () => import('./routes/week-compare.js') },
  { path: '/week/record', word: null, load: () => import('./routes/week-record.js') },
  { path: '/squeeze', word: phrase('app.squeeze'), load: () => import('./routes/squeeze.js') },
  { path: '/tide', word: phrase('app.tide'), load: () => import('./routes/tide.js') },
  { path: '/loose-ends', word: phrase('app.loose-ends'), load: () => import('./routes/loose-ends.js') },
  { path: '/standing', word: phrase('app.standing'), load: () => import('./routes/standing.js') },
  { path: '/overdue', word: null, load: () => import('./routes/overdue.js') },
  { path: '/sites/:siteId', word: null, load: () => import('./routes/site.js') },
  { path: '/catch-up', word: phrase('app.catch-up'), load: () => import('./routes/catch-up.js') },
  { path: '/closed-days', word: phrase('app.closed-days'), load: () => import('./routes/closed-days.js') },
  { path: '/programmes', word: phrase('app.programmes'), load: () => import('./routes/programmes.js') },
  { path: '/programmes/:programmeId', word: null, load: () => import('./routes/programme.js') },
  { path: '/duties/:dutyId', word: null, load: () => import('./routes/duty.js') },
  { path: '/begin', word: phrase('app.begin'), load: () => import('./routes/begin.js') },
  { path: '/labels', word: phrase('app.labels'), load: () => import('./routes/labels.js') },
  { path: '/scan', word: phrase('app.scan-a-label'), load: () => import('./routes/scan.js') },
  { path: '/at/:kind/:labelId', word: null, load: () => import('./routes/at.js') },
  { path: '/my-round', word: phrase('app.my-round'), load: () => import('./routes/my-round.js') },
  { path: '/visits/:visitId', word: null, load: () => import('./routes/visit.js') },
  { path: '/deficiencies', word: phrase('app.deficiencies'), load: () => import('./routes/deficiencies.js') },
  { path: '/exposure', word: phrase('app.look-here-first'), load: () => import('./routes/exposure.js') },
  { path: '/batteries', word: phrase('app.battery-forecast'), load: () => import('./routes/batteries.js') },
  { path: '/risk-model', word: null, load: () => import('./routes/risk-model.js') },
  { path: '/silences', word: phrase('app.silences'), load: () => import('./routes/silences.js') },
  { path: '/receivers', word: phrase('app.receivers'), load: () => import('./routes/receivers.js') },
  { path: '/messages', word: phrase('app.messages'), load: () => import('./routes/messages.js') },
  { path: '/fleet', word: phrase('app.fleet'), load: () => import('./routes/fleet.js') },
  { path: '/import', word: phrase('app.import'), load: () => import('./routes/import.js') },
  { path: '/lists', word: phrase('app.three-lists'), load: () => import('./routes/lists.js') },
  { path: '/people', word: phrase('app.people'), load: () => import('./routes/people.js') },
  { path: '/proof', word: phrase('app.proof-bundles'), load: () => import('./routes/proof.js') },
  { path: '/auditors', word: phrase('app.auditors'), load: () => import('./routes/auditors.js') },
  { path: '/activity', word: phrase('app.activity'), load: () => import('./routes/activity.js') },
  { path: '/settings', word: phrase('app.settings'), load: () => import('./routes/settings.js') },
  { path: '/about', word: null, load: () => import('./routes/about.js') },
];

/** Order of the contents per role: what each looks at first stands first. Paths without a screen are left out. */
const ORDER: Record<Role, readonly string[]> = {
  dispatcher: ['/week', '/loose-ends', '/squeeze', '/standing', '/exposure', '/batteries', '/deficiencies', '/silences', '/fleet', '/import', '/lists', '/people', '/programmes', '/catch-up', '/closed-days', '/tide', '/messages', '/receivers', '/activity', '/labels', '/begin', '/settings'],
  technician: ['/my-round', '/scan', '/deficiencies', '/standing', '/settings'],
  owner: ['/standing', '/tide', '/exposure', '/batteries', '/deficiencies', '/silences', '/lists', '/week', '/loose-ends', '/squeeze', '/fleet', '/import', '/people', '/programmes', '/catch-up', '/closed-days', '/messages', '/receivers', '/proof', '/auditors', '/activity', '/labels', '/begin', '/settings'],
  auditor: ['/standing', '/deficiencies', '/lists', '/proof', '/programmes', '/activity', '/settings'],
};

/** The contents of one role, in its order; screens nobody ordered come last. */
export function contentsOf(role: Role, all: readonly Screen[] = screens): readonly Screen[] {
  const order = ORDER[role];
  const place = (screen: Screen) => { const at = order.indexOf(screen.path); return at === -1 ? order.length : at; };
  return all
    .filter((screen) => screen.word !== null && (screen.roles ? screen.roles.includes(role) : order.includes(screen.path)))
    .toSorted((a, b) => place(a) - place(b));
}
