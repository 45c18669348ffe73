/** A fleet for timing only: 12 components a site, values spread by a small seeded generator. */
export const TODAY = 20_000;

const PLAN = [
  ['supply', 'power'],
  ['battery', 'power'],
  ['control-unit', 'control-unit'],
  ['path-ethernet', 'path'],
  ['path-cellular', 'path'],
  ['detector-wireless', 'detection'],
  ['detector-wireless', 'detection'],
  ['detector-wired', 'detection'],
  ['detector-wired', 'detection'],
  ['detector-life-safety', 'detection'],
  ['mesh-device', 'detection'],
  ['sounder', 'sounder'],
];

// What a usual round looks at; each kind of check has its own day.
const LOOKS = {
  supply: ['supply-voltage', 'mains-supply'], battery: ['battery-on-load'], 'control-unit': ['set-unset', 'indicators-keys', 'event-log-review'], 'path-ethernet': ['transmission-path'], 'path-cellular': ['transmission-path', 'path-changeover'],
  'detector-wireless': ['detector-actuation', 'wireless-margin'], 'detector-wired': ['detector-actuation'], 'detector-life-safety': ['smoke-functional'], 'mesh-device': ['mesh-delivery'], sounder: ['sounder-level'],
};

export function random(seed) {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}

export function site(at, next) {
  const maybe = (value, unknown) => (next() < unknown ? null : value);
  const day = (least, most) => TODAY - Math.floor(least + (most - least) * next());
  const components = PLAN.map(([cls, role], i) => ({
    id: `c${i}`,
    class: cls,
    role,
    label: `place ${i}`,
    installedDay: maybe(day(400, 3000), 0.2),
    lastProofDay: maybe(day(0, 400), 0.05),
    failures: next() < 0.1 ? 1 : 0,
    hoursInService: 9000 + 15_000 * next(),
    ageYears: maybe(6 * next(), 0.2),
    temperatureC: maybe(18 + 16 * next(), 0.3),
    marginDb: maybe(4 + 26 * next(), 0.2),
    marginalCount: next() < 0.1 ? 1 : 0,
    selfReported: next() < 0.6,
    supervisionH: maybe(1 + 24 * next(), 0.2),
    coverage: maybe(0.6 + 0.4 * next(), 0.1),
    protects: next() < 0.5 ? `area ${i % 4}` : null,
    cohort: 2014 + Math.floor(12 * next()),
    looks: LOOKS[cls].map((check) => ({ check, day: day(0, 500) })),
  }));
  return { siteId: `site ${at}`, lifeSafety: next() < 0.3, weight: 1, systems: [{ systemId: 's', kind: 'mixed', components, lastHeardDay: TODAY - 2 }] };
}

/**
 * Component records for the fit: one row each, `count` of every class but the battery, and as many battery lives. A yearly verdict each; of
 * the share `wrong` of good verdicts a false failure stands on record.
 */
export function history(count, next, wrong = 0) {
  const classes = [...new Set(PLAN.map(([cls]) => cls)), 'path-wifi', 'path-line', 'path-radio'];
  return classes.map((cls) => {
    const perComponent = Array.from({ length: cls === 'battery' ? 0 : count }, () => {
      const hoursInService = 20_000 + 30_000 * next();
      const verdicts = Math.max(1, Math.round(hoursInService / 8766));
      let failures = next() < 5e-6 * hoursInService ? 1 : 0;
      if (wrong > 0) for (let look = failures; look < verdicts; look++) if (next() < wrong) failures += 1;
      return { failures, hoursInService, verdicts, marginDb: 4 + 26 * next(), marginalCount: next() < 0.1 ? 1 : 0, harsh: next() < 0.1, cohort: 2014 + Math.floor(12 * next()) };
    });
    const lives = cls !== 'battery' ? [] : Array.from({ length: count }, () => {
      const toAgeYears = 1 + 5 * next();
      return { fromAgeYears: 0, toAgeYears, temperatureC: 18 + 16 * next(), failed: next() < 0.3, lastGoodAgeYears: Math.max(0, toAgeYears - 1) };
    });
    return { class: cls, failures: perComponent.reduce((sum, one) => sum + one.failures, 0), hoursInService: perComponent.reduce((sum, one) => sum + one.hoursInService, 0), perComponent, lives };
  });
}
