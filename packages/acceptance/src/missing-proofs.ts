import type { CheckDefinition } from './definition.js';
import type { Judgement } from './judgement.js';

/** Who can still supply a missing proof: on site now, the station from its history, the office from its papers, or a return visit with another instrument. */
export type Supplier = 'technician' | 'station' | 'office';

export type MissingProof = { readonly key: string; readonly who: Supplier; readonly words: string };

const heardAtStation = new Set(['receivedAtStation', 'roundTripS', 'primaryLossReported', 'primaryRestored', 'alternateLossReported', 'alternateRestored', 'primaryReportS', 'alternateReportS', 'hoursSinceLast']);

// Facts that judging missed, in the words of somebody who can enter them.
const factWords: Readonly<Record<string, string>> = {
  load: 'standby and alarm current, hours and minutes of the system', 'battery.ratedMah': 'rated capacity of the battery', 'supply.ratedMv': 'rated voltage of the supply', periodic: 'how often this path promises to report',
  'firmware.approved': 'the approved list for this control unit', 'sound.warnLevelDb': 'the warning level of the room', limits: "the maker's limits for this subject",
};

/**
 * [ACC-55] What keeps a check from being a whole proof, each with who can still supply it. A list, never a score; empty when nothing
 * is missing.
 */
export function missingProofs(definition: CheckDefinition, judgement: Judgement): MissingProof[] {
  const missing = judgement.missing.map((key): MissingProof => {
    const reading = definition.readings.find((r) => r.key === key);
    if (reading === undefined) return { key, who: 'office', words: `Enter ${factWords[key] ?? key}.` };
    if (heardAtStation.has(key)) return { key, who: 'station', words: `Ask the station, or read its history: ${reading.label.toLowerCase()}.` };
    return { key, who: 'technician', words: `Read on site: ${reading.label.toLowerCase()}${reading.unit === '' ? '' : ` in ${reading.unit}`}.` };
  });
  // Grade A asks for the station's word even where the verdict stands without it.
  const wantsStation = judgement.verdict !== 'fail' && judgement.applicable && judgement.evidence > definition.evidence && definition.readings.some((r) => r.key === 'receivedAtStation') && !missing.some((m) => m.key === 'receivedAtStation');
  return [
    ...missing,
    ...(wantsStation && judgement.evidence === 'B' ? [{ key: 'receivedAtStation', who: 'station' as const, words: 'Ask the station whether it arrived, and under which zone and text.' }] : []),
    ...(judgement.reliable ? [] : [{ key: 'instrument', who: 'technician' as const, words: 'Read it again with an instrument whose calibration holds.' }]),
  ];
}
