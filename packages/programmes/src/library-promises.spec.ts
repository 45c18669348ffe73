import { describe, expect, it } from 'vitest';
import { type Programme, type Rule, programmeLibrary } from './index.js';

/** What a duty of the library must carry besides its window, in words; empty when it does. */
function lacks(programme: Programme, rule: Rule): string[] {
  const missing: string[] = [];
  const need = (part: string, has: boolean): void => { if (!has) missing.push(`${programme.key} ${rule.key}: ${part}`); };
  need('source and clause', rule.source.clause.trim().length > 3);
  need('edition', programme.regime.kind === 'company' || programme.regime.edition.trim() !== '');
  need('provenance', /SEEN-[PRU]:?|from memory|common practice|company rule/i.test(rule.source.provenance));
  need('who says so, where it is seen', !/SEEN-[PRU]/.test(rule.source.provenance) || rule.source.provenance.length > 7);
  need('minutes on site', Number.isInteger(rule.minutes) && (rule.minutes > 0 || rule.remotely));
  need('skills', Array.isArray(rule.skills) && rule.skills.every((skill) => ['fire', 'intrusion'].includes(skill)) && (rule.by !== 'occupant' || rule.skills.length === 0));
  need('remotely or not', typeof rule.remotely === 'boolean');
  need('by whom', ['occupant', 'technician', 'licensed'].includes(rule.by) && (rule.by !== 'licensed' || rule.licences.length > 0));
  need('caution', programme.caution.includes('Local codes') && programme.caution.includes('adopted'));
  return missing;
}

/** What the library promises, item by item: programme, and the rules that hold it. */
const PROMISED: readonly (readonly [item: string, programme: string, rules: readonly string[]])[] = [
  ['visual, by item', 'fire-frequency-tables', ['visual-premises', 'visual-control-monitored', 'visual-trouble-monitored', 'visual-control-unmonitored', 'visual-initiating', 'visual-appliances', 'visual-waterflow', 'visual-co', 'visual-transmitters']],
  ['visual, by battery chemistry', 'fire-frequency-tables', ['visual-battery-vented', 'visual-battery-semiannual', 'visual-battery-dry']],
  ['functional, by item', 'fire-frequency-tables', ['control-monitored', 'control-unmonitored', 'smoke-functional', 'call-point', 'waterflow', 'valve-supervisory', 'co-functional', 'sounder', 'visual-alarm', 'door-release']],
  ['functional, by battery chemistry', 'fire-frequency-tables', ['battery-sealed', 'battery-nickel', 'battery-vented', 'charger-sealed', 'charger-vented']],
  ['sensitivity timeline', 'fire-frequency-tables', ['smoke-sensitivity']],
  ['heat-detector share', 'fire-frequency-tables', ['heat-share']],
  ['transmission equipment', 'fire-frequency-tables', ['transmission', 'visual-transmitters']],
  ['transmission equipment by the code\'s own chapter', 'fire-communicators', ['history', 'changeover']],
  ['weekly user check', 'fire-code-of-practice-2017', ['weekly-user']],
  ['service visits', 'fire-code-of-practice-2017', ['service-visit', 'service-battery', 'service-path']],
  ['service visits, newer edition', 'fire-code-of-practice-2025', ['service-visit']],
  ['shares of devices', 'fire-code-of-practice-2017', ['detectors-share', 'devices-smoke', 'devices-heat', 'devices-call-point', 'devices-sounder']],
  ['intrusion by grade, site visit', 'intrusion-graded-monitored', ['site-record', 'look-round', 'detector', 'hold-up', 'battery', 'path']],
  ['intrusion by grade, remote visit', 'intrusion-graded-monitored', ['event-log', 'mains', 'periodic-signal']],
  ['intrusion, audible only', 'intrusion-graded-audible', ['site-record', 'event-log']],
  ['household monitored', 'household-monitored', ['monthly-signal', 'occupant-monthly', 'smoke-alarm-age', 'co-alarm-age']],
  ['carbon monoxide', 'carbon-monoxide', ['visual', 'functional', 'cell-age', 'battery']],
  ['transmission path categories', 'transmission-paths', ['SP1', 'SP2', 'SP3', 'SP4', 'SP5', 'SP6', 'DP1', 'DP2', 'DP3', 'DP4'].map((category) => `history-${category.toLowerCase()}`)],
  ['transmission paths, each proven', 'transmission-paths', ['path-proven', 'changeover']],
  ['maker ages', 'maker-age', ['smoke-head', 'co-cell', 'battery-sealed', 'battery-device', 'battery-alkaline']],
];

describe('what the library promises', () => {
  it.each(PROMISED)('[PRO-14] %s', (_, key, rules) => {
    const held = programmeLibrary.find((programme) => programme.key === key)?.rules.map((rule) => rule.key) ?? [];
    expect(rules.filter((rule) => !held.includes(rule))).toEqual([]);
  });
  it('[PRO-14] the remote visit is one: each of its duties can be met without a visit, each of the site visit needs one', () => {
    const rules = new Map(programmeLibrary.find((programme) => programme.key === 'intrusion-graded-monitored')!.rules.map((rule) => [rule.key, rule]));
    expect(['event-log', 'mains', 'periodic-signal'].map((key) => rules.get(key)!.remotely)).toEqual([true, true, true]);
    expect(['site-record', 'look-round', 'detector', 'battery'].map((key) => rules.get(key)!.remotely)).toEqual([false, false, false, false]);
  });
  it('[PRO-14] every duty carries source, clause, edition, provenance, minutes, skills, whether remotely, by whom, and the caution', () => {
    expect(programmeLibrary.reduce((sum, programme) => sum + programme.rules.length, 0)).toBeGreaterThan(120);
    expect(programmeLibrary.flatMap((programme) => programme.rules.flatMap((rule) => lacks(programme, rule)))).toEqual([]);
  });
  it.each<[string, (programme: Programme, rule: Rule) => void]>([
    ['source and clause', (_, rule) => { rule.source.clause = ' '; }],
    ['edition', (programme) => { programme.regime.edition = ''; }],
    ['provenance', (_, rule) => { rule.source.provenance = 'as everybody knows'; }],
    ['who says so, where it is seen', (_, rule) => { rule.source.provenance = 'SEEN-R'; }],
    ['minutes on site', (_, rule) => { rule.minutes = 0; rule.remotely = false; }],
    ['skills', (_, rule) => { rule.skills = ['magic']; }],
    ['remotely or not', (_, rule) => { delete (rule as Partial<Rule>).remotely; }],
    ['by whom', (_, rule) => { rule.by = 'licensed'; rule.licences = []; }],
    ['caution', (programme) => { programme.caution = 'Ours.'; }],
  ])('[PRO-14] one that lacks %s is named', (part, spoil) => {
    const programme = structuredClone(programmeLibrary.find((one) => one.key === 'fire-frequency-tables')!);
    const rule = programme.rules[1]!;
    expect(lacks(programme, rule)).toEqual([]);
    spoil(programme, rule);
    expect(lacks(programme, rule)).toContain(`fire-frequency-tables ${rule.key}: ${part}`);
  });
});
