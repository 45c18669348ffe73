import type { View } from './views.js';

/** What each view is called in docs/guide/screens.md, in the order in which it stands there. */
const GROUPS: readonly (readonly [title: string, words: Readonly<Record<string, string>>])[] = [
  ['Dispatcher', {
    week: 'Week: rounds as threads, what lapses, the map',
    'week-chosen': 'One visit chosen: marked in loom, lists and map, its allowed hours washed',
    'week-visit': 'A visit: why it is here, what moving it costs',
    'week-ask': 'Ask this plan: somebody is away',
    'week-ask-urgent': 'Ask this plan: an urgent visit',
    'week-publish': 'Before a week is published',
    'week-under-way': 'The published week',
    'week-compare': 'Two plans side by side',
    'week-record': 'What was published',
    'loose-ends': 'Loose ends',
    'loose-end': 'One loose end: agree a date, write down the try',
    squeeze: 'Squeeze: can it be done at all',
    exposure: 'Look here first',
    batteries: 'Battery forecast',
    'risk-model': 'What the scores rest on',
    deficiencies: 'Deficiencies',
    deficiency: 'One deficiency',
    silences: 'Silences',
    fleet: 'Fleet',
    'fleet-site': 'One site of the fleet',
    import: 'Import',
    'import-preview': 'A file with two rows held, and why',
    lists: 'Three lists',
    people: 'People',
    technician: 'A technician',
    programmes: 'Programmes',
    programme: 'One programme',
    'programme-edit': 'Editing a programme',
    duty: 'A duty and its windows',
    'catch-up': 'Catch-up',
    'closed-days': 'Closed days',
    'closed-days-add': 'Closing many sites',
    messages: 'Messages',
    activity: 'Activity',
    labels: 'Labels',
    find: 'Find anything',
  }],
  ['Technician', {
    'my-round': 'My round',
    'visit-next': 'A visit before it is started',
    visit: 'On site, the account on test',
    'visit-check': 'One check',
    'visit-battery': 'A battery on load',
    'visit-no-access': 'No access',
    'visit-stop': 'Stop here',
    'visit-closed': 'A visit that is over',
    scan: 'Scan a label',
    'at-label': 'What a label leads to',
    contents: 'The contents on a phone',
  }],
  ['Owner', {
    standing: 'Standing, missing proof first',
    'standing-filtered': 'Standing, only what is late: the address of the page holds the filter',
    overdue: 'Overdue',
    site: 'One site in full',
    tide: 'Tide',
    proof: 'Proof bundles',
    auditors: 'Addresses for auditors',
    'auditors-make': 'Making an address',
    'people-owner': 'People and sign-ins',
    receivers: 'Receivers',
    'receiver-add': 'Adding a receiver',
    settings: 'Settings',
    about: 'What this is, and is not',
  }],
  ['Without a session', {
    'sign-in': 'Sign in',
    'sign-in-refused': 'A sign-in that is refused',
    audit: 'What an auditor sees',
    'audit-site': 'One site of an auditor’s address',
    'audit-nothing': 'An address that opens nothing',
    nowhere: 'Nothing at this address',
  }],
  ['A new company', {
    begin: 'Begin',
    'empty-week': 'Empty: Week',
    'empty-loose-ends': 'Empty: Loose ends',
    'empty-squeeze': 'Empty: Squeeze',
    'empty-tide': 'Empty: Tide',
    'empty-standing': 'Empty: Standing',
    'empty-fleet': 'Empty: Fleet',
    'empty-import': 'Empty: Import',
    'empty-people': 'Empty: People',
    'empty-programmes': 'Empty: Programmes',
    'empty-deficiencies': 'Empty: Deficiencies',
    'empty-exposure': 'Empty: Look here first',
    'empty-batteries': 'Empty: Battery forecast',
    'empty-silences': 'Empty: Silences',
    'empty-receivers': 'Empty: Receivers',
    'empty-lists': 'Empty: Three lists',
    'empty-catch-up': 'Empty: Catch-up',
    'empty-closed-days': 'Empty: Closed days',
    'empty-messages': 'Empty: Messages',
    'empty-labels': 'Empty: Labels',
    'empty-proof': 'Empty: Proof bundles',
    'empty-auditors': 'Empty: Auditors',
    'empty-activity': 'Empty: Activity',
    'empty-risk-model': 'Empty: What the scores rest on',
  }],
];
const KINDS = [['desk-day', 'desk'], ['desk-night', 'desk, night'], ['phone-day', 'phone'], ['phone-night', 'phone, night']] as const;

/** Names of the pictures of a view. */
export const picturesOf = (view: View): string[] => KINDS.filter(([kind]) => !view.phone || kind.startsWith('phone')).map(([kind]) => `${view.name}-${kind}.webp`);

/** docs/guide/screens.md: every view with its pictures. A view without words here is named in the error. */
export function gallery(views: readonly View[]): string {
  const named = new Set(GROUPS.flatMap(([, words]) => Object.keys(words)));
  const lacking = views.filter((view) => !named.has(view.name));
  if (lacking.length > 0) throw new Error(`gallery.ts has no words for: ${lacking.map((view) => view.name).join(', ')}`);
  return `${HEAD}${GROUPS.map(([title, words]) => `\n## ${title}\n| screen | |\n| --- | --- |\n${Object.entries(words).flatMap(([name, text]) => views.filter((view) => view.name === name).map((view) => row(view, text))).join('')}`).join('')}`;
}

function row(view: View, words: string): string {
  const links = KINDS.filter(([kind]) => picturesOf(view).includes(`${view.name}-${kind}.webp`)).map(([kind, text]) => `[${text}](pictures/${view.name}-${kind}.webp)`).join(' · ');
  const desk = view.phone ? '' : `<img src="pictures/${view.name}-desk-day.webp" width="420" alt="${words}"> `;
  return `| ${words}<br>${links} | ${desk}<img src="pictures/${view.name}-phone-day.webp" width="110" alt="${words}, on a phone"> |\n`;
}

const HEAD = `# Every screen

By day and by night, at a desk and on a phone. The pictures are taken from the invented demo company, and this page is written, by

\`\`\`
BELLROUND_PICTURES=docs/guide/pictures npx vitest run --config infra/checks/vitest.config.ts --project e2e tests/e2e/every-screen.spec.ts
\`\`\`

The views are those of \`tests/e2e/screens/views.ts\`; an address of the app without a view fails. With \`BELLROUND_SCREENS=1\` in place of the first word the same views are walked: axe at a desk by day and on
a phone by night, which is both themes on each; nothing scrolls sideways from 320 to 2560 px; the console says nothing. How the screens are used: [a dispatcher's week](week.md), [a technician's day](technician.md),
[for the owner](owner.md), [from an empty company to a published week](begin.md). Local codes and licensed practice prevail.
`;
