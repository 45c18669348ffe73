import type { Chemistry } from '../facts.js';

const kelvin = 273.15;
const boltzmannEvPerK = 8.617333262e-5;

/**
 * Life expected at a steady temperature when it halves for each `halvingC` above the reference.
 * Half per 8 °C: a battery handbook-style article's printed triple (SEEN-R); half per 8 to 10 °C: second page (SEEN-R).
 * Below the reference the life is not lengthened: cold keeps a battery, it does not prove it.
 */
export function lifeAtTemperatureYears(life: { years: number; atC: number }, temperatureC: number, halvingC = 10): number {
  return life.years * 0.5 ** (Math.max(0, temperatureC - life.atC) / halvingC);
}

/** Times faster that ageing runs at `toC` than at `fromC`, for an activation energy in eV. Arrhenius (CALC in the facts). */
export function arrheniusFactor(fromC: number, toC: number, activationEv: number): number {
  return Math.exp((activationEv / boltzmannEvPerK) * (1 / (fromC + kelvin) - 1 / (toC + kelvin)));
}

/** End of life is 80 % of rated capacity. IEEE 450 and IEEE 1188 (SEEN-R: a battery-reliability article naming both). */
export const endOfLifeShare = 0.8;

/** Design life at 25 °C and how capacity falls, per chemistry; null: voltage and age tell little, measure or replace. Common practice. */
const ageing: Readonly<Record<Chemistry, { years: number; shape: number } | null>> = {
  'lead-acid-sealed': { years: 5, shape: 2 },
  'lead-acid-vented': { years: 12, shape: 2 },
  'nickel-cadmium': { years: 10, shape: 1 },
  'lithium-ion': { years: 8, shape: 1 },
  'lithium-primary': null,
  alkaline: null,
};

/**
 * Share of rated capacity to expect at an age (years) and mean temperature: 1 at age 0, 0.8 at the end of the life that the
 * temperature leaves, falling faster later (shape 2 for lead-acid: ageing accelerates). A company rule standing in for a
 * measurement, never better than one. Null for chemistries on which age says nothing.
 */
export function expectedCapacityShare(chemistry: Chemistry, ageYears: number, temperatureC: number): number | null {
  const model = ageing[chemistry];
  if (model === null) return null;
  const life = lifeAtTemperatureYears({ years: model.years, atC: 25 }, temperatureC);
  return Math.max(0, 1 - (1 - endOfLifeShare) * (Math.max(0, ageYears) / life) ** model.shape);
}

/** Share of the 25 °C capacity that lead-acid gives at a battery temperature: about 0.8 % less per °C below 25. From memory. */
export function temperatureCapacityFactor(temperatureC: number): number {
  return Math.min(1, Math.max(0.4, 1 - 0.008 * (25 - temperatureC)));
}
