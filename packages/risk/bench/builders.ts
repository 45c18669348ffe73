/** Builders of components, systems and sites with true defaults, for specs and benchmarks. */
import { type ComponentClass, type ComponentInput, type ComponentRole, fitModel, type RiskModel, type SiteInput, type SystemInput } from '../src/index.js';

export const TODAY = 20_000;

const ROLE_OF: Readonly<Record<ComponentClass, ComponentRole>> = {
  supply: 'power',
  battery: 'power',
  'control-unit': 'control-unit',
  'path-ethernet': 'path',
  'path-wifi': 'path',
  'path-cellular': 'path',
  'path-line': 'path',
  'path-radio': 'path',
  'detector-wireless': 'detection',
  'detector-wired': 'detection',
  'detector-life-safety': 'detection',
  sounder: 'sounder',
  'mesh-device': 'detection',
};

/** A well recorded component: two years old, proven 100 days ago, no failures. */
export function aComponent(cls: ComponentClass, change: Partial<ComponentInput> = {}): ComponentInput {
  return {
    id: cls,
    class: cls,
    role: ROLE_OF[cls],
    label: '',
    installedDay: TODAY - 730,
    lastProofDay: TODAY - 100,
    failures: 0,
    hoursInService: 730 * 24,
    ageYears: null,
    temperatureC: 25,
    marginDb: 20,
    marginalCount: 0,
    selfReported: false,
    supervisionH: 1,
    coverage: 0.9,
    protects: null,
    ...change,
  };
}

/** One of everything that counts. */
export function aSystem(change: Partial<SystemInput> = {}): SystemInput {
  const classes: ComponentClass[] = ['supply', 'battery', 'control-unit', 'path-cellular', 'detector-wired'];
  return { systemId: 'sys', kind: 'intrusion', components: classes.map((cls) => aComponent(cls, { selfReported: cls.startsWith('path-') })), lastHeardDay: TODAY - 1, ...change };
}

export function aSite(change: Partial<SiteInput> = {}): SiteInput {
  return { siteId: 'site', lifeSafety: false, weight: 1, systems: [aSystem()], ...change };
}

/** The site's only system with one component changed, found by class. */
export function withComponent(site: SiteInput, cls: ComponentClass, change: Partial<ComponentInput>): SiteInput {
  return { ...site, systems: site.systems.map((system) => ({ ...system, components: system.components.map((c) => (c.class === cls ? { ...c, ...change } : c)) })) };
}

/** A model in which rates are certain: each given class fails at its rate, every other never; batteries never age. */
export function certainModel(rates: Partial<Record<ComponentClass, number>>, settings: Partial<RiskModel['settings']> = {}): RiskModel {
  const model = fitModel([], { settings });
  // So large a shape that the gamma is a point; its rounding stays below 1e-9.
  const shape = 1e8;
  const certain = Object.fromEntries(Object.entries(model.rates).map(([cls, rate]) => [cls, { ...rate, shape, hours: cls === 'battery' ? shape : shape / (rates[cls as ComponentClass] ?? 1e-20) }]));
  return { ...model, rates: { ...model.rates, ...certain }, battery: { ...model.battery, scaleYears: 1e9 } };
}
