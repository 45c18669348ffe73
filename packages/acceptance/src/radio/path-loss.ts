/** Free-space loss in dB: 20 lg d(km) + 20 lg f(MHz) + 32.45. ITU-R P.525 (formula MEM; constant 32.4478 as the facts' table uses). */
export function freeSpaceLossDb(distanceM: number, frequencyMhz: number): number {
  return 20 * Math.log10(distanceM / 1000) + 20 * Math.log10(frequencyMhz) + 32.4478;
}

export type Place = 'residential' | 'office' | 'commercial';

// Distance exponents and floor losses, ITU-R P.1238. Around 2 GHz: SEEN-R (a public network simulator's model file).
const around2Ghz: Readonly<Record<Place, { n: number; floors: (n: number) => number }>> = {
  residential: { n: 28, floors: (n) => 4 * n },
  office: { n: 30, floors: (n) => (n === 0 ? 0 : 15 + 4 * (n - 1)) },
  commercial: { n: 22, floors: (n) => (n === 0 ? 0 : 6 + 3 * (n - 1)) },
};
// 900 MHz: office 33, commercial 20; 9/19/24 dB for 1/2/3 floors (MEM). Residential keeps 28.
const around900Mhz: Readonly<Record<Place, number>> = { residential: 28, office: 33, commercial: 20 };
const floors900Mhz = [0, 9, 19, 24];

/** Indoor loss in dB: 20 lg f(MHz) + N lg d(m) + Lf(n) - 28. ITU-R P.1238. */
export function indoorLossDb(distanceM: number, frequencyMhz: number, exponentN: number, floorsLossDb = 0): number {
  return 20 * Math.log10(frequencyMhz) + exponentN * Math.log10(distanceM) + floorsLossDb - 28;
}

/** Indoor loss with the coefficients of the place: the 900 MHz set below 1.5 GHz, the 2 GHz set above. */
export function placeLossDb(link: { distanceM: number; frequencyMhz: number; floors: number; place: Place }): number {
  if (link.frequencyMhz < 1500) {
    const floorsDb = link.place === 'residential' ? 4 * link.floors : floors900Mhz[Math.min(3, link.floors)]!;
    return indoorLossDb(link.distanceM, link.frequencyMhz, around900Mhz[link.place], floorsDb);
  }
  const { n, floors } = around2Ghz[link.place];
  return indoorLossDb(link.distanceM, link.frequencyMhz, n, floors(link.floors));
}
