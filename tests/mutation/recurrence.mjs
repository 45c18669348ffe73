/** Windows, cadences and recurrence rules against changes of their code: see mutate.mjs. */
import { mutate } from './mutate.mjs';

const WINDOWS = ['src/timeline', 'src/cadences', 'src/window-edges', 'src/series-edges', 'src/scenarios', 'src/history.properties'];
const RULES = ['src/expand', 'src/local-date', 'published/rfc5545', 'src/cadences', 'published/agreement'];
const specs = {
  rolling: WINDOWS, fixed: WINDOWS, series: WINDOWS, share: WINDOWS, prepared: WINDOWS, standing: WINDOWS, period: WINDOWS, 'after-event': WINDOWS, timeline: WINDOWS, cadence: WINDOWS,
  'access-calendar': ['src/scenarios', 'src/do-together', 'src/cadences', 'src/window-edges'], completion: ['src/scenarios', 'src/window-edges'], 'late-because': ['src/scenarios', 'src/window-edges'],
  'do-together': ['src/scenarios', 'src/do-together', 'src/history.properties'], 'catch-up': ['src/catch-up'], 'plan-visits': ['src/plan-visits', 'src/cadences'],
  'together-days': ['src/scenarios', 'src/do-together'],
  'library-rule': RULES, 'calendar-walk': RULES, expand: RULES, 'rrule-text': RULES, zone: ['src/local-date', 'src/expand', 'published/rfc5545'], 'local-date': ['src/local-date', ...WINDOWS],
};

await mutate({ name: 'recurrence', specs });
