import type { CheckDefinition, LocalDate } from './definition.js';

/** A small true definition for specs of this package; the catalogue itself lives elsewhere. */
export function aDefinition(over: Partial<CheckDefinition> = {}): CheckDefinition {
  return {
    key: 'a-check', title: 'A check', subject: 'device', appliesTo: { systems: [], devices: [], links: [], paths: [] },
    readings: [], judge: 'limits', params: {}, limits: [], preconditions: [], after: [], excludes: [], needsHold: false, sounds: false, disturbs: [],
    restores: false, activation: false, evidence: 'A', minutes: 5, expectedResponses: [], procedure: ['Do it.'], cautions: [], excusable: [], licensed: false,
    source: { text: 'company rule', provenance: 'company rule' },
    ...over,
  };
}

/** Number readings by key, all optional, any value believable. */
export function numbers(...keys: string[]): CheckDefinition['readings'] {
  return keys.map((key) => ({ key, label: key, unit: '', kind: 'number', required: false, min: -1e6, max: 1e6 }));
}

export const today: LocalDate = '2027-03-01';
