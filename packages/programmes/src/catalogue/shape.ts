import type { AppliesTo, CheckDefinition, Choice, Comparator, ExpectedResponse, Limit, ReadingDefinition, Source } from '@bellround/acceptance';

/** What every entry states itself; the rest has true defaults, so an entry shows only what is particular to it. */
type Stated = Pick<CheckDefinition, 'key' | 'title' | 'subject' | 'readings' | 'evidence' | 'minutes' | 'procedure' | 'source'>;

export function check(stated: Stated & Partial<Omit<CheckDefinition, 'appliesTo'>> & { readonly appliesTo?: Partial<AppliesTo> }): CheckDefinition {
  return {
    judge: 'limits', params: {}, limits: [], preconditions: [], after: [], excludes: [], needsHold: false, sounds: false, disturbs: [],
    restores: false, activation: false, expectedResponses: [], cautions: [], excusable: [], licensed: false,
    ...stated,
    appliesTo: { systems: [], devices: [], links: [], paths: [], ...stated.appliesTo },
  };
}

export const commonPractice: Source = { text: 'common practice', provenance: 'common practice' };
export const companyRule: Source = { text: 'company rule', provenance: 'company rule' };
export function published(text: string, clause: string, provenance: string): Source {
  return { text, clause, provenance };
}

export function yesNo(key: string, label: string, required = true): ReadingDefinition {
  return { key, label, unit: '', kind: 'yes-no', required };
}

export function number(key: string, label: string, unit: string, range: readonly [min: number, max: number, step: number], required = true): ReadingDefinition {
  return { key, label, unit, kind: 'number', required, min: range[0], max: range[1], step: range[2] };
}

export function choice(key: string, label: string, choices: readonly Choice[], required = true): ReadingDefinition {
  return { key, label, unit: '', kind: 'choice', required, choices };
}

export function date(key: string, label: string, required = false): ReadingDefinition {
  return { key, label, unit: '', kind: 'date', required };
}

export function text(key: string, label: string, required = false): ReadingDefinition {
  return { key, label, unit: '', kind: 'text', required };
}

/** The reading must be answered yes. */
export function mustBe(reading: string, source: Source, value: boolean | string = true): Limit {
  return { reading, comparator: '=', value, unit: '', level: 'fail', source };
}

export function limit(reading: string, comparator: Comparator, value: number, unit: string, source: Source, level: 'fail' | 'marginal' = 'fail'): Limit {
  return { reading, comparator, value, unit, level, source };
}

/** A limit that the judge computes from what is known of the site; `words` say how. */
export function computed(reading: string, comparator: Comparator, unit: string, words: string, source: Source, level: 'fail' | 'marginal' = 'fail'): Limit {
  return { reading, comparator, value: null, unit, level, computed: words, source };
}

export function atPanel(what: string, withinS: number): ExpectedResponse {
  return { what, where: 'panel', withinS };
}

export function atStation(what: string, withinS: number): ExpectedResponse {
  return { what, where: 'station', withinS };
}
