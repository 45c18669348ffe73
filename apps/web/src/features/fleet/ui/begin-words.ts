import { FIRST_RUN_COUNTS_TO, type FirstStep } from '@bellround/contracts';
import { numberWords } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';

interface StepWords { readonly title: string; readonly why: string; readonly to: string; readonly act: string; /** where what is there is seen */ readonly seen: string; readonly one: string; readonly many: string }

/** What each step of the way is for, where it is done, and what the button says. */
export const STEP_WORDS: Record<FirstStep, StepWords> = {
  clients: { title: phrase('fleet.clients'), why: phrase('fleet.who-you-serve-and-bill-every-site'), to: '/import?kind=clients', act: phrase('fleet.import-clients'), seen: '/fleet', one: phrase('fleet.client'), many: phrase('fleet.many-clients') },
  sites: { title: phrase('fleet.sites'), why: phrase('fleet.where-the-systems-are-with-hours-of'), to: '/import?kind=sites', act: phrase('fleet.import-sites'), seen: '/fleet', one: phrase('fleet.site'), many: phrase('fleet.many-sites') },
  systems: { title: phrase('fleet.systems'), why: phrase('fleet.what-protects-each-site-duties-are-owed'), to: '/import?kind=systems', act: phrase('fleet.import-systems'), seen: '/fleet', one: phrase('fleet.system'), many: phrase('fleet.many-systems') },
  parts: { title: phrase('fleet.zones-devices-batteries-and-paths'), why: phrase('fleet.what-is-checked-one-by-one-four'), to: '/import?kind=zones', act: phrase('fleet.import-parts'), seen: '/fleet', one: phrase('fleet.part'), many: phrase('fleet.many-parts') },
  accounts: { title: phrase('fleet.station-accounts'), why: phrase('fleet.which-account-carries-which-system-put-on'), to: '/import?kind=accounts', act: phrase('fleet.import-accounts'), seen: '/lists', one: phrase('fleet.account'), many: phrase('fleet.many-accounts') },
  technicians: { title: phrase('fleet.technicians'), why: phrase('fleet.who-goes-out-from-which-home-base'), to: '/import?kind=technicians', act: phrase('fleet.import-technicians'), seen: '/people', one: phrase('fleet.technician-with-a-home-base'), many: phrase('fleet.technicians-with-a-home-base') },
  programme: { title: phrase('fleet.a-programme'), why: phrase('fleet.which-checks-recur-how-often-by-whose'), to: '/programmes', act: phrase('fleet.adopt-a-programme'), seen: '/programmes', one: phrase('fleet.programme'), many: phrase('fleet.many-programmes') },
  duties: { title: phrase('fleet.duties'), why: phrase('fleet.lay-the-programme-on-your-systems-each'), to: '/programmes', act: phrase('fleet.lay-it-on-systems'), seen: '/standing', one: phrase('fleet.duty'), many: phrase('fleet.duties-2') },
  'sign-ins': { title: phrase('fleet.sign-ins-of-technicians'), why: phrase('fleet.so-that-each-finds-their-round-on'), to: '/settings', act: phrase('fleet.let-them-sign-in'), seen: '/settings', one: phrase('fleet.technician-may-sign-in'), many: phrase('fleet.technicians-may-sign-in') },
  plan: { title: phrase('fleet.a-plan-of-the-week'), why: phrase('fleet.bellround-makes-visits-of-what-is-due'), to: '/week', act: phrase('fleet.compute-a-plan'), seen: '/week', one: phrase('fleet.plan'), many: phrase('fleet.many-plans') },
  week: { title: phrase('fleet.the-week-published'), why: phrase('fleet.technicians-see-their-rounds-from-then-on'), to: '/week', act: phrase('fleet.publish-the-week'), seen: '/week', one: phrase('fleet.week-published'), many: phrase('fleet.weeks-published') },
};

/** '12 sites'; from the count's end on 'more than 1000 sites'. */
export function stepCount(step: FirstStep, count: number): string {
  const { one, many } = STEP_WORDS[step];
  return count >= FIRST_RUN_COUNTS_TO ? phrase('fleet.first-run-counts-to-or-more-value', { FIRST_RUN_COUNTS_TO, value: many }) : `${numberWords(count)} ${count === 1 ? one : many}`;
}
