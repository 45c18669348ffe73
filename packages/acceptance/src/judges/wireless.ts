import type { RadioFacts } from '../facts.js';
import { linkHint } from '../hints.js';
import type { Finding } from '../judgement.js';
import { addMonths } from '../local-date.js';
import { type Case, notEnough, num, numberReading, type Outcome, round, textReading } from '../outcome.js';
import { linkMarginDb, marginClass } from '../radio/level.js';
import { dropNow, fellWith } from '../radio/drop.js';
import { trendToLimit } from '../statistics/trend.js';

const source = 'margin 10 dB the least, 20 dB preferred (common practice, MEM)';
const advice = "Advise a repeater on the device's own band, or moving the device.";

/** [ACC-29] Wireless link: level above the noise at the receiver, with its trend over visits and one-off drops. */
export function judgeWirelessMargin(it: Case): Outcome {
  const [level, noise] = [numberReading(it, 'levelDbm'), numberReading(it, 'noiseDbm')];
  if (level === null || noise === null) return byClass(it, level === null ? 'levelDbm' : 'noiseDbm');
  const margin = linkMarginDb(level, noise);
  const least = it.facts.radio?.minMarginDb ?? Number(it.definition.params['minMarginDb'] ?? 10);
  const good = it.facts.radio?.goodMarginDb ?? Number(it.definition.params['goodMarginDb'] ?? 20);
  const words = marginClass(margin, least, good);
  const link = linkOf(it);
  const history = historyFindings(it, { level, noise, margin }, least);
  return {
    verdict: words === 'strong' ? 'pass' : words === 'marginal' ? 'marginal' : 'fail',
    reason: `Level ${num(level, 1)} dBm over noise ${num(noise, 1)} dBm: margin ${num(margin, 1)} dB (${words}); ${num(least, 1)} dB the least, ${num(good, 1)} dB good.`,
    margin: { value: round(margin - least, 2), unit: 'dB' }, limitSource: source,
    notes: [...(words === 'strong' ? [] : [advice]), ...history.map((f) => f.words)],
    findings: history.filter((f) => f.isNear).map(({ code, words: said }) => ({ code, words: said })),
    hints: words === 'strong' || link === null ? [] : [linkHint(link, level)],
  };
}

function byClass(it: Case, missing: string): Outcome {
  const shown = textReading(it, 'linkClass');
  if (shown === null) return notEnough('Neither level and noise nor a class shown by the receiver was read.', [missing, 'linkClass']);
  const verdict = shown === 'strong' ? 'pass' : shown === 'marginal' ? 'marginal' : 'fail';
  return {
    verdict, reason: `The receiver shows the link as ${shown}; no margin in dB was read.`, limitSource: 'class shown by the receiver (maker)',
    notes: verdict === 'pass' ? [] : [advice],
  };
}

function historyFindings(it: Case, now: { level: number; noise: number; margin: number }, least: number): (Finding & { isNear: boolean })[] {
  const history = (it.facts.radio?.history ?? []).filter((p) => p.on < it.now);
  const today = { on: it.now, marginDb: now.margin, levelDbm: now.level, noiseDbm: now.noise };
  const points = [...history, today];
  const step = dropNow(history, today, Number(it.definition.params['stepDb'] ?? 6));
  const found: (Finding & { isNear: boolean })[] = [];
  if (step !== null) {
    const together = fellWith(step.dropDb, it.facts.radio?.neighbourDropsDb ?? []);
    const words = `Margin fell by ${num(step.dropDb, 1)} dB between ${step.fromOn} and ${step.toOn} (${step.cause}): something changed.`;
    found.push(together === 0 ? { code: 'step-change', isNear: true, words } : { code: 'receiver-drop', isNear: true, words: `${words} ${together} others on this receiver fell with it: look at the receiver or its noise.` });
  }
  const trend = trendToLimit(points.map((p) => ({ on: p.on, value: p.marginDb })), least, 'above');
  // A single step is no slope: forecasting from it would give a date for something that has already happened.
  if (step === null && trend !== null && trend.crossesOn !== null && trend.slopeHighPerYear < 0 && now.margin > least) {
    found.push({ code: 'trend', isNear: trend.crossesEarliest! <= addMonths(it.now, 24), words: `Margin falls by ${num(-trend.slopePerYear, 1)} dB a year and meets ${num(least, 1)} dB about ${trend.crossesOn} (between ${trend.crossesEarliest} and ${trend.crossesLatest ?? 'later'}).` });
  }
  return found;
}

/** The link as known, with what was read on site in its place; null when anything that the model needs is missing. */
function linkOf(it: Case): NonNullable<RadioFacts['link']> | null {
  const known = it.facts.radio?.link;
  const place = textReading(it, 'place') ?? known?.place;
  const [distanceM, floors] = [numberReading(it, 'distanceM') ?? known?.distanceM, numberReading(it, 'floors') ?? known?.floors ?? 0];
  const [transmitDbm, frequencyMhz] = [numberReading(it, 'transmitDbm') ?? known?.transmitDbm, numberReading(it, 'frequencyMhz') ?? known?.frequencyMhz];
  if (distanceM === undefined || transmitDbm === undefined || frequencyMhz === undefined || !(distanceM > 0)) return null;
  return { transmitDbm, frequencyMhz, distanceM, floors, place: place === 'office' || place === 'commercial' ? place : 'residential' };
}
