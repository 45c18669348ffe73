import { type Case, notEnough, num, numberReading, type Outcome, round, textReading, worst, yesNo } from '../outcome.js';
import { type AudibleRule, audibleRules, levelAtDistanceDb, requiredLevelDb, sourceAloneDb } from '../sound/level.js';

/** [ACC-37] Sounder: the level where people are against ambient, and the level at the reference distance against what it is rated for. */
export function judgeSounderLevel(it: Case): Outcome {
  const level = numberReading(it, 'levelDb');
  if (level === null) return notEnough('The level was not read.', ['levelDb']);
  const parts = [audiblePart(it, level), ratedPart(it, level), ceilingPart(level)].filter((part) => part !== null);
  return { ...worst(parts as [Outcome, ...Outcome[]]), notes: parts.flatMap((p) => p.notes ?? []) };
}

function audiblePart(it: Case, level: number): Outcome {
  const { sound } = it.facts;
  const ambient = numberReading(it, 'ambientDb') ?? sound?.ambientDb ?? null;
  const maximum = numberReading(it, 'maximumAmbientDb') ?? sound?.maximumAmbientDb ?? null;
  const asks = textReading(it, 'rule');
  const chosen = asks !== null && Object.hasOwn(audibleRules, asks) ? audibleRules[asks as keyof typeof audibleRules] : null;
  const base = chosen ?? (sound?.sleeping === true ? audibleRules.sleeping : audibleRules[sound?.mode ?? 'public']);
  const rule: AudibleRule = {
    ...base, aboveAmbientDb: sound?.aboveAmbientDb ?? base.aboveAmbientDb, aboveMaximumDb: sound?.aboveMaximumDb ?? base.aboveMaximumDb,
  };
  const asked = requiredLevelDb(rule, ambient, maximum);
  // A floor alone (75 dB at the pillow) does not say that the sounder stands out from an unknown ambient.
  if (asked === null || ambient === null) return notEnough(`${num(level, 1)} dB(A) read; the ambient is not known, so its margin can't be told.`, ['ambientDb']);
  const margin = level - asked;
  const alone = sourceAloneDb(level, ambient);
  return {
    verdict: margin < 0 ? 'fail' : margin < 3 ? 'marginal' : 'pass',
    reason: `${num(level, 1)} dB(A) over ambient ${num(ambient, 1)} dB(A), ${num(asked, 1)} dB(A) asked: ${margin < 0 ? `short by ${num(-margin, 1)}` : `${num(margin, 1)} to spare`} dB.`,
    margin: { value: round(margin, 2), unit: 'dB' }, limitSource: rule.words,
    notes: alone === null ? ['Sounder and ambient are less than 3 dB apart: the sounder alone can\'t be told.'] : [],
  };
}

function ratedPart(it: Case, level: number): Outcome | null {
  const required = it.facts.sound?.requiredDb;
  if (required === undefined) return null;
  const distance = numberReading(it, 'distanceM');
  if (distance === null) return notEnough('The distance was not read: the level can\'t be brought to the reference distance.', ['distanceM']);
  const reference = it.facts.sound?.referenceDistanceM ?? Number(it.definition.params['referenceDistanceM'] ?? 3.05);
  const there = levelAtDistanceDb(level, distance, reference);
  const margin = there - required;
  return {
    verdict: margin < 0 ? 'fail' : margin < 3 ? 'marginal' : 'pass',
    reason: `${num(level, 1)} dB(A) at ${num(distance)} m is ${num(there, 1)} dB(A) at ${num(reference)} m, ${num(required, 1)} dB(A) rated: ${margin < 0 ? `short by ${num(-margin, 1)}` : `${num(margin, 1)} to spare`} dB.`,
    margin: { value: round(margin, 2), unit: 'dB' }, limitSource: "rated level of the sounder (maker), inverse square (MEM)",
  };
}

function ceilingPart(level: number): Outcome {
  const over = level - 110;
  if (over <= 0) return { verdict: 'pass', reason: `${num(level, 1)} dB(A) is under the 110 dB(A) ceiling.` };
  const words = `${num(level, 1)} dB(A) where people are: over the 110 dB(A) ceiling by ${num(over, 1)} dB, a danger to hearing.`;
  return { verdict: 'fail', reason: words, margin: { value: round(-over, 2), unit: 'dB' }, limitSource: 'NFPA 72, 18.4.1.2 (SEEN-U)', findings: [{ code: 'over-loud', words }] };
}

/** [ACC-38] Acoustic detector: a simulator gives full evidence, a hand clap proves power and microphone only and meets no mandated duty. */
export function judgeAcoustic(it: Case): Outcome {
  const [detected, method] = [yesNo(it, 'detected'), textReading(it, 'method')];
  const missing = [...(detected === null ? ['detected'] : []), ...(method === null ? ['method'] : [])];
  if (detected === false) return { verdict: 'fail', reason: `Not detected by ${method === 'hand-clap' ? 'a hand clap' : 'the simulator'}.`, missing };
  if (detected === null || method === null) return notEnough('Detection or method not recorded.', missing);
  const distance = numberReading(it, 'distanceM');
  const at = distance === null ? '' : ` at ${num(distance, 1)} m`;
  if (method !== 'simulator') {
    return { verdict: 'pass', reason: `Detected a hand clap${at}: a quick look at power and microphone; meets no mandated duty.`, evidence: 'D' };
  }
  const heard = yesNo(it, 'receivedAtStation');
  if (heard === false) return { verdict: 'fail', reason: `Detected the simulator${at}, but nothing arrived at the station.` };
  return { verdict: 'pass', reason: `Detected the simulator${at}${heard === true ? ', heard at the station' : ''}.`, evidence: heard === true ? 'A' : 'B' };
}

/** [ACC-39] Background sound of the room against the warning level set for it. */
export function judgeBackgroundSound(it: Case): Outcome {
  const [level, warn] = [numberReading(it, 'levelDb'), it.facts.sound?.warnLevelDb];
  if (level === null) return notEnough('The background level was not read.', ['levelDb']);
  if (warn === undefined) return notEnough(`${num(level, 1)} dB(A) read; no warning level is set for this room.`, ['sound.warnLevelDb']);
  const margin = warn - level;
  return {
    verdict: margin <= 0 ? 'fail' : margin < 3 ? 'marginal' : 'pass',
    reason: `${num(level, 1)} dB(A), warning level ${num(warn, 1)} dB(A): ${margin <= 0 ? `over by ${num(-margin, 1)}` : `${num(margin, 1)} below`} dB.`,
    margin: { value: round(margin, 2), unit: 'dB' }, limitSource: 'warning level set for the room (company rule)',
  };
}
