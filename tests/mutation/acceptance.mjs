/** The arithmetic of verdicts against changes of its code: see mutate.mjs. */
import { mutate } from './mutate.mjs';

const JUDGES = ['src/judge', 'src/judges', 'src/scenarios', 'src/hints', 'published/limits'];
const RADIO = ['src/scenarios', 'published/radio', 'src/judges'];
const specs = {
  'judges/battery': ['src/scenarios', 'src/hints', 'published/power', 'src/judges', 'src/judge'], 'judges/charge': [...JUDGES, 'published/power'], 'judges/device': JUDGES, 'judges/false-alarms': JUDGES,
  'judges/limits': [...JUDGES, 'src/reading-trends'], 'judges/mesh': JUDGES, 'judges/path': JUDGES, 'judges/sound': [...JUDGES, 'published/sound'], 'judges/supply': [...JUDGES, 'published/power'], 'judges/wireless': [...JUDGES, 'published/radio'],
  'power/ageing': ['published/power', 'src/scenarios', 'src/hints'], 'power/cable': ['published/power', 'src/hints'], 'power/standby': ['src/power/standby', 'published/power', 'src/hints', 'src/scenarios'], 'power/voltage': ['published/power', ...JUDGES],
  'radio/drop': RADIO, 'radio/level': RADIO, 'radio/path-loss': [...RADIO, 'src/hints'], 'sound/level': ['published/sound', ...JUDGES],
  'statistics/line': ['published/statistics', 'src/reading-trends', 'src/scenarios'], 'statistics/normal': ['published/statistics'], 'statistics/trend': ['published/statistics', 'src/scenarios', 'src/reading-trends'], 'statistics/wilson': ['published/statistics', ...JUDGES],
  age: ['src/scenarios', ...JUDGES], hints: ['src/hints', 'src/scenarios'], judge: JUDGES, judgement: JUDGES, outcome: JUDGES, readings: JUDGES, responses: JUDGES, 'missing-proofs': ['src/missing-proofs'], 'reading-trends': ['src/reading-trends'],
  'minimum-pick': ['src/visit-order'], 'visit-order': ['src/visit-order'], 'local-date': [...JUDGES, 'src/reading-trends'],
};

await mutate({ name: 'acceptance', specs });
