import { FIRST_RUN_COUNTS_TO, type FirstStep } from '@bellround/contracts';
import { countWords } from '../../../shared/format.js';

interface StepWords { readonly title: string; readonly why: string; readonly to: string; readonly act: string; /** where what is there is seen */ readonly seen: string; readonly one: string; readonly many?: string }

/** What each step of the way is for, where it is done, and what the button says. */
export const STEP_WORDS: Record<FirstStep, StepWords> = {
  clients: { title: 'Clients', why: 'Who you serve and bill. Every site belongs to one.', to: '/import?kind=clients', act: 'Import clients', seen: '/fleet', one: 'client' },
  sites: { title: 'Sites', why: 'Where the systems are, with hours of access, zone and place on the map. A round goes only to a site with a place.', to: '/import?kind=sites', act: 'Import sites', seen: '/fleet', one: 'site' },
  systems: { title: 'Systems', why: 'What protects each site. Duties are owed by systems and their parts.', to: '/import?kind=systems', act: 'Import systems', seen: '/fleet', one: 'system' },
  parts: { title: 'Zones, devices, batteries and paths', why: 'What is checked one by one. Four files; those you lack can follow later.', to: '/import?kind=zones', act: 'Import parts', seen: '/fleet', one: 'part' },
  accounts: { title: 'Station accounts', why: 'Which account carries which system: put on test before checks, and counted in the share that is proven.', to: '/import?kind=accounts', act: 'Import accounts', seen: '/lists', one: 'account' },
  technicians: { title: 'Technicians', why: 'Who goes out, from which home base, in which shifts and with which skills. Without a base no round can begin.', to: '/import?kind=technicians', act: 'Import technicians', seen: '/people', one: 'technician with a home base', many: 'technicians with a home base' },
  programme: { title: 'A programme', why: 'Which checks recur, how often, by whose rule. Adopt one that ships, with its sources, or write your own.', to: '/programmes', act: 'Adopt a programme', seen: '/programmes', one: 'programme' },
  duties: { title: 'Duties', why: 'Lay the programme on your systems: each then owes its checks, in windows that open and lapse. Count first; nothing is laid before you say so.', to: '/programmes', act: 'Lay it on systems', seen: '/standing', one: 'duty', many: 'duties' },
  'sign-ins': { title: 'Sign-ins of technicians', why: 'So that each finds their round on their phone.', to: '/settings', act: 'Let them sign in', seen: '/settings', one: 'technician may sign in', many: 'technicians may sign in' },
  plan: { title: 'A plan of the week', why: 'Bellround makes visits of what is due and rounds of the visits, and says why something is left out.', to: '/week', act: 'Compute a plan', seen: '/week', one: 'plan' },
  week: { title: 'The week published', why: 'Technicians see their rounds from then on. Until then it is a draft that you can change.', to: '/week', act: 'Publish the week', seen: '/week', one: 'week published', many: 'weeks published' },
};

/** '12 sites'; from the count's end on 'more than 1000 sites'. */
export function stepCount(step: FirstStep, count: number): string {
  const { one, many } = STEP_WORDS[step];
  return count >= FIRST_RUN_COUNTS_TO ? `${FIRST_RUN_COUNTS_TO} or more ${many ?? `${one}s`}` : countWords(count, one, many);
}
