import { catalogue } from './catalogue/index.js';
import type { Programme, Rule } from './programme.js';

const definitions = new Map(catalogue.map((definition) => [definition.key, definition]));

/** Where one rule and the check catalogue do not fit together, in words; empty when they do. */
export function ruleFits(rule: Rule): string[] {
  const problems: string[] = [];
  const owedBy = rule.cadence.kind === 'share' ? 'device' : rule.subject;
  for (const kind of rule.checkKinds) {
    const definition = definitions.get(kind);
    if (!definition) {
      problems.push(`rule ${rule.key}: "${kind}" is no check of the catalogue; accepted: ${[...definitions.keys()].join(', ')}`);
      continue;
    }
    if (definition.subject !== owedBy) problems.push(`rule ${rule.key}: ${kind} is done on a ${definition.subject}, the duty is owed by a ${owedBy}`);
    if (definition.evidence > rule.minEvidence) problems.push(`rule ${rule.key}: ${kind} gives evidence ${definition.evidence} at best, the duty asks for ${rule.minEvidence}`);
    if (definition.sounds && !rule.sounds) problems.push(`rule ${rule.key}: ${kind} sounds, so the duty sounds`);
  }
  for (const device of rule.applies.deviceKinds ?? []) {
    const isMet = rule.checkKinds.some((kind) => {
      const devices = definitions.get(kind)?.appliesTo.devices;
      return devices !== undefined && (devices.length === 0 || devices.includes(device));
    });
    if (!isMet) problems.push(`rule ${rule.key}: none of ${rule.checkKinds.join(', ')} can be done on a ${device}`);
  }
  return problems;
}

/** Where a programme and the check catalogue do not fit together, in words; empty when they do. */
export const programmeProblems = (programme: Programme): string[] => programme.rules.flatMap(ruleFits);
