import type { LoadFacts, RadioFacts, WireFacts } from './facts.js';
import type { Hint } from './judgement.js';
import { num, round } from './outcome.js';
import { awgDropV, metricDropV } from './power/cable.js';
import { requiredStandbyAh, standbyHoursLeft, type StandbyConvention } from './power/standby.js';
import { temperatureCapacityFactor } from './power/ageing.js';
import { placeLossDb } from './radio/path-loss.js';

/** The drop to be expected on a run, volts, and how the run is called; the drop is null where the tables do not know the wire. */
export function wireDrop(wire: WireFacts): { readonly dropV: number | null; readonly words: string } {
  const { lengthM, currentMa, temperatureC } = wire;
  const at = temperatureC === undefined ? {} : { temperatureC };
  if (wire.awg !== undefined) {
    const strands = wire.strands ?? '7-strand';
    return { dropV: awgDropV({ awg: wire.awg, strands, lengthM, currentMa, ...at }), words: `${wire.awg} AWG ${strands}` };
  }
  if (wire.sectionMm2 === undefined) return { dropV: null, words: 'a wire of unknown section' };
  return { dropV: metricDropV({ sectionMm2: wire.sectionMm2, lengthM, currentMa, ...at }), words: `${wire.sectionMm2} mm²` };
}

/**
 * [ACC-14] Whether the cable explains a low voltage at its end. Up to 3 % of the source is left for the meter and the source's own
 * tolerance (common practice); a loss of under 5 % asks for no explanation and gets none. Null where the tables do not know the wire.
 */
export function cableHint(wire: WireFacts, sourceV: number, readV: number): Hint | null {
  const { dropV, words } = wireDrop(wire);
  if (dropV === null) return null;
  const lostV = sourceV - readV;
  if (lostV <= 0.05 * sourceV) return null;
  const isExplained = lostV <= dropV + 0.03 * sourceV;
  const run = `${num(wire.lengthM, 1)} m of ${words} at ${num(wire.currentMa)} mA should lose ${num(dropV)} V; ${num(lostV)} V are lost`;
  return {
    code: isExplained ? 'cable-explains' : 'cable-does-not-explain', numbers: { expectedDropV: round(dropV, 3), lostV: round(lostV, 3) },
    words: isExplained ? `${run}: explained by the cable.` : `${run}: not explained by the cable, ${num(lostV - dropV)} V too much. Look for a bad joint, a further load, or the supply itself.`,
  };
}

/**
 * [ACC-29] Whether distance and walls explain a weak level, by the indoor model of ITU-R P.1238. The model scatters by about 10 dB
 * (common practice): less than that short is no evidence of anything else.
 */
export function linkHint(link: NonNullable<RadioFacts['link']>, levelDbm: number): Hint {
  const expectedDbm = link.transmitDbm - placeLossDb(link);
  const shortDb = expectedDbm - levelDbm;
  const run = `${num(link.distanceM, 1)} m and ${link.floors} floors at ${num(link.frequencyMhz, 1)} MHz would give about ${num(expectedDbm, 0)} dBm`;
  const numbers = { expectedDbm: round(expectedDbm, 1), shortDb: round(shortDb, 1) };
  return shortDb <= 10
    ? { code: 'link-explains', numbers, words: `${run}: explained by distance and walls.` }
    : { code: 'link-does-not-explain', numbers, words: `${run}, ${num(shortDb, 0)} dB more than read: not explained by distance and walls. Look for metal, a turned or broken aerial, or noise.` };
}

/**
 * [ACC-15] By how much a capacity is short, for which load, and what would do: the rated capacity that carries the loads at the
 * share measured, and the hours that are carried now. Null when it suffices.
 */
export function capacityHint(load: LoadFacts, haveAh: number, share: number): Hint | null {
  const needAh = requiredStandbyAh(load, conventionOf(load));
  const shortAh = needAh - haveAh;
  if (shortAh <= 0) return null;
  const [standbyAh, alarmAh] = [(load.standbyMa / 1000) * load.standbyH, (load.alarmMa / 1000) * (load.alarmMin / 60)];
  const hours = standbyHoursLeft(haveAh, load, needAh / Math.max(1e-9, standbyAh + alarmAh));
  const most = standbyAh >= alarmAh ? `the standby load (${num(standbyAh)} Ah of ${num(standbyAh + alarmAh)})` : `the alarm load (${num(alarmAh)} Ah of ${num(standbyAh + alarmAh)})`;
  const ratedAh = share > 0 ? needAh / share : needAh;
  return {
    code: 'capacity-short', numbers: { needAh: round(needAh, 4), haveAh: round(haveAh, 4), shortAh: round(shortAh, 4), standbyAh: round(standbyAh, 4), alarmAh: round(alarmAh, 4), carriedH: round(hours, 2), ratedAh: round(ratedAh, 2) },
    words: `Short by ${num(shortAh)} Ah, most of it asked by ${most}. With the allowance it carries the standby load for about ${num(hours, 1)} h of ${num(load.standbyH)} h; a battery of at least ${num(needAh)} Ah that is left would do: ${num(ratedAh, 1)} Ah rated at ${num(share * 100, 0)} %.`,
  };
}

/** What cold takes from lead-acid: the capacity left at the temperature of its place, when that is no longer enough. From memory: about 0.8 % per °C below 25. */
export function coldHint(haveAh: number, needAh: number, temperatureC: number): Hint | null {
  const factor = temperatureCapacityFactor(temperatureC);
  const coldAh = haveAh * factor;
  if (factor >= 1 || haveAh < needAh || coldAh >= needAh) return null;
  return {
    code: 'cold', numbers: { temperatureC, coldAh: round(coldAh, 4), needAh: round(needAh, 4) },
    words: `At ${num(temperatureC, 0)} °C it gives about ${num(coldAh)} Ah of its ${num(haveAh)} Ah (about 0.8 % less per °C below 25, from memory): ${num(needAh - coldAh)} Ah short while it is cold.`,
  };
}

/** How a load's capacity is computed: its own convention, else the sum times its allowance. */
export function conventionOf(load: LoadFacts): StandbyConvention {
  return load.convention ?? { kind: 'sum', allowance: load.allowance };
}
