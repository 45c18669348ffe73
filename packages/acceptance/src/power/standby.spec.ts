import { describe, expect, it } from 'vitest';
import { requiredStandbyAh } from './standby.js';

describe('the load of a standby battery', () => {
  it('may carry words beside its numbers, as the facts of a site do', () => {
    const load = { standbyMa: 450, alarmMa: 1900, standbyH: 24, alarmMin: 30, allowance: 1.25, source: 'loads and hours entered' };
    expect(requiredStandbyAh(load, { kind: 'sum', allowance: 1.25 })).toBeCloseTo(14.6875, 6);
  });
  it('is refused by the name of the number that cannot be', () => {
    expect(() => requiredStandbyAh({ standbyMa: -1, alarmMa: 0, standbyH: 1, alarmMin: 0 }, { kind: 'sum', allowance: 1.2 })).toThrow(/standbyMa: -1/);
  });
});
