import { ageDue } from '../age.js';
import type { LoadFacts } from '../facts.js';
import { capacityHint, coldHint, conventionOf } from '../hints.js';
import type { Finding, Hint } from '../judgement.js';
import { addMonths, dayNumber, requireDay } from '../local-date.js';
import { type Case, notEnough, num, numberReading, type Outcome, round, textReading, worst } from '../outcome.js';
import { endOfLifeShare, expectedCapacityShare } from '../power/ageing.js';
import { requiredStandbyAh } from '../power/standby.js';
import { loadedVoltageFloorV, stateOfChargePct } from '../power/voltage.js';
import { capacityForecast } from '../statistics/trend.js';

/**
 * [ACC-15] Standby battery: voltage under load, capacity against the rule (80 % of rated) and against this site's loads, and age.
 * The tighter limit decides and both are told: 83 % can be above the rule and still too little for the load.
 */
export function judgeBattery(it: Case): Outcome {
  const parts = [...voltageParts(it), ...capacityParts(it)];
  if (parts.length === 0) {
    return { ...notEnough('Neither a voltage under load nor a capacity was read.', ['voltsOn', 'capacityPct']), findings: agePart(it).findings ?? [], notes: agePart(it).notes ?? [] };
  }
  const all: [Outcome, ...Outcome[]] = [parts[0]!, ...parts.slice(1), agePart(it)];
  const outcome = worst(all);
  const margin = parts.find((p) => p.margin?.unit === 'Ah')?.margin ?? outcome.margin ?? parts[0]!.margin ?? null;
  const reason = outcome.verdict === 'pass' ? parts.map((p) => p.reason).join(' ') : outcome.reason;
  return { ...outcome, reason, margin };
}

function nominalV(it: Case): number {
  return it.facts.battery?.nominalMv === undefined ? Number(it.definition.params['nominalV'] ?? 12) : it.facts.battery.nominalMv / 1000;
}

function voltageParts(it: Case): Outcome[] {
  const on = numberReading(it, 'voltsOn');
  if (on === null) return [];
  const nominal = nominalV(it);
  const minutes = numberReading(it, 'minutes');
  // Not knowing how long it was loaded, the stricter early floor holds.
  const floor = loadedVoltageFloorV(nominal, minutes ?? 0);
  const margin = { value: round(on - floor, 3), unit: 'V' };
  const after = minutes === null ? '' : ` after ${num(minutes)} min`;
  const words = `${num(on)} V under load${after}, floor ${num(floor)} V`;
  const under: Outcome = {
    verdict: on < floor ? 'fail' : 'pass', reason: `${words}: ${on < floor ? `below by ${num(floor - on)}` : `above by ${num(on - floor)}`} V.`, margin,
    limitSource: 'field load test, 95 % of nominal within 15 min, 90 % at 30 min: practitioner, UK fire forum (SEEN-R)',
    notes: loadNotes(it, nominal),
  };
  return [under, ...restPart(it, nominal)];
}

function loadNotes(it: Case, nominal: number): string[] {
  const [amps, rated] = [numberReading(it, 'loadA'), it.facts.battery?.ratedMah];
  const assumed = it.facts.battery?.nominalMv === undefined ? [`Nominal voltage not known: taken as ${num(nominal)} V.`] : [];
  if (amps === null || rated === undefined) return assumed;
  const share = (amps / (rated / 1000)) * 100;
  return share < 5 ? [...assumed, `The load of ${num(amps)} A is ${num(share, 1)} % of rated; the floor supposes 5 to 10 %, so this says little.`] : assumed;
}

function restPart(it: Case, nominal: number): Outcome[] {
  const off = numberReading(it, 'voltsOff');
  if (off === null || it.facts.battery?.chemistry?.startsWith('lithium')) return [];
  const accepted = (12.5 * nominal) / 12;
  const charge = stateOfChargePct(off, nominal);
  return [{
    verdict: off < accepted ? 'marginal' : 'pass',
    reason: `${num(off)} V at rest is about ${num(charge, 0)} % charge, ${num(accepted)} V accepted.`,
    margin: { value: round(off - accepted, 3), unit: 'V' },
    limitSource: 'open circuit about 12.5 V: equipment handbook, name withheld (SEEN-R)',
  }];
}

type Capacity = { readonly ah: number; readonly pct: number; readonly measured: boolean };

function capacityOf(it: Case): Capacity | null {
  const ratedMah = it.facts.battery?.ratedMah;
  if (ratedMah === undefined) return null;
  const measured = numberReading(it, 'capacityPct');
  if (measured !== null) return { ah: (ratedMah / 1000) * (measured / 100), pct: measured, measured: true };
  const madeOn = textReading(it, 'madeOn') ?? it.facts.battery?.madeOn;
  const chemistry = it.facts.battery?.chemistry;
  if (madeOn === undefined || chemistry === undefined || dayNumber(madeOn) === null) return null;
  const years = (requireDay(it.now) - requireDay(madeOn)) / 365.25;
  const share = expectedCapacityShare(chemistry, years, numberReading(it, 'temperatureC') ?? 25);
  return share === null ? null : { ah: (ratedMah / 1000) * share, pct: share * 100, measured: false };
}

function capacityParts(it: Case): Outcome[] {
  const measuredPct = numberReading(it, 'capacityPct');
  const parts: Outcome[] = [];
  if (measuredPct !== null) {
    const limit = endOfLifeShare * 100;
    parts.push({
      verdict: measuredPct < limit ? 'fail' : 'pass',
      reason: `Measured ${num(measuredPct)} % of rated, rule ${num(limit)} %.`,
      margin: { value: round(measuredPct - limit, 3), unit: '%' },
      limitSource: 'replace below 80 % of rated: IEEE 450, IEEE 1188 (SEEN-R)',
      ...(measuredPct < 85 && measuredPct >= limit ? { notes: ['Below 85 %: replace at the next scheduled test. NFPA 72, 2019 and later (SEEN-R).'] } : {}),
    });
  }
  // With neither voltage nor capacity read, the loads alone prove nothing.
  return parts.length === 0 && numberReading(it, 'voltsOn') === null ? [] : [...parts, loadPart(it, capacityOf(it), measuredPct)];
}

function loadPart(it: Case, capacity: Capacity | null, measuredPct: number | null): Outcome {
  const { load, battery } = it.facts;
  const missing = [...(load === undefined ? ['load'] : []), ...(battery?.ratedMah === undefined ? ['battery.ratedMah'] : [])];
  if (load === undefined || battery?.ratedMah === undefined) {
    return { verdict: 'marginal', missing, reason: `Whether it carries this site's loads can't be told: ${missing.map((m) => (m === 'load' ? 'standby and alarm current' : 'rated capacity')).join(' and ')} not known.` };
  }
  const need = requiredStandbyAh(load, conventionOf(load));
  const rated = battery.ratedMah / 1000;
  const asked = `needs ${num(need)} Ah for ${num(load.standbyH)} h standby at ${load.standbyMa} mA and ${num(load.alarmMin)} min alarm at ${load.alarmMa} mA${conventionWords(load)}`;
  const limitSource = load.source ?? 'computed from the site\'s loads, hours and allowance';
  if (capacity === null) {
    const short = need > rated;
    return {
      verdict: short ? 'fail' : 'pass', margin: { value: round(rated - need, 4), unit: 'Ah' }, limitSource,
      reason: `The site ${asked}; rated ${num(rated)} Ah${short ? `: short by ${num(need - rated)} Ah even when new` : ', capacity not measured'}.`,
      findings: short ? [shortBy(need - rated)] : [], hints: short ? hintsOf(capacityHint(load, rated, 1)) : [],
    };
  }
  const spare = capacity.ah - need;
  const have = `${num(capacity.ah)} Ah (${num(capacity.pct)} % of ${num(rated)} Ah${capacity.measured ? ', measured' : ', expected at its age'})`;
  const margin = { value: round(spare, 4), unit: 'Ah' };
  if (spare < 0) {
    const above = measuredPct !== null && measuredPct >= endOfLifeShare * 100 ? ` although ${num(measuredPct)} % is above the 80 % rule` : '';
    return {
      verdict: capacity.measured || need > rated ? 'fail' : 'marginal', margin, limitSource,
      reason: `Has ${have}, ${asked}: ${capacity.measured ? 'fails' : 'expected short'} by ${num(-spare)} Ah${above}.`,
      findings: [shortBy(-spare)], hints: hintsOf(capacityHint(load, capacity.ah, capacity.pct / 100)),
    };
  }
  return { verdict: 'pass', margin, limitSource, reason: `Has ${have}, ${asked}: passes by ${num(spare)} Ah.`, ...forecast(it, need / rated), hints: hintsOf(coldOf(it, capacity.ah, need)) };
}

function hintsOf(hint: Hint | null): Hint[] {
  return hint === null ? [] : [hint];
}

function coldOf(it: Case, haveAh: number, needAh: number): Hint | null {
  const celsius = numberReading(it, 'temperatureC');
  return celsius === null || it.facts.battery?.chemistry?.startsWith('lead-acid') !== true ? null : coldHint(haveAh, needAh, celsius);
}

function conventionWords(load: LoadFacts): string {
  const { kind } = conventionOf(load);
  return kind === 'sum' ? ` x ${load.allowance}` : kind === 'bs-5839-1' ? ' by BS 5839-1 annex D' : ' by VDE 0833-2';
}

function shortBy(ah: number): Finding {
  return { code: 'capacity-short', words: `Standby capacity short by ${num(ah)} Ah for this site's loads.` };
}

function forecast(it: Case, needShare: number): { notes?: string[]; findings?: Finding[] } {
  const measured = numberReading(it, 'capacityPct');
  const history = (it.facts.battery?.history ?? []).map(({ on, capacityPct }) => ({ on, value: capacityPct }));
  const limitPct = Math.max(endOfLifeShare, needShare) * 100;
  const result = capacityForecast(measured === null ? history : [...history, { on: it.now, value: measured }], limitPct);
  if (result === null || result.earliest === null) return {};
  const words = `At this rate it falls below ${num(limitPct, 1)} % between ${result.earliest} and ${result.latest}.`;
  // A date years away is told and asks for nothing yet; within two years it is something to do at one of the next visits.
  return { notes: [words], findings: result.earliest <= addMonths(it.now, 24) ? [{ code: 'trend', words }] : [] };
}

function agePart(it: Case): Outcome {
  const madeOn = textReading(it, 'madeOn') ?? it.facts.battery?.madeOn;
  const limitYears = it.facts.battery?.ageLimitYears ?? Number(it.definition.params['ageLimitYears'] ?? 5);
  const due = ageDue({ madeOn, firstSeenOn: it.facts.battery?.firstSeenOn }, limitYears * 12, it.now);
  const limitSource = 'replacement within 5 years of manufacture: NFPA 72, 2007, table 10.4.4 item 6(d)(1) (SEEN-R); 3 to 5 years common practice';
  const words = `Battery age: ${due.words}.`;
  if (!due.due) return { verdict: 'pass', reason: words, notes: [words], limitSource };
  const finding: Finding = madeOn === undefined ? { code: 'date-missing', words: `Date missing: ${words}` } : { code: 'replace-due', words };
  return { verdict: 'marginal', reason: words, notes: [finding.words], findings: [finding], limitSource, missing: madeOn === undefined ? ['madeOn'] : [] };
}
