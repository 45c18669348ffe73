/** How the standby battery is sized. Each convention is a published one; which applies is data of the programme. */
export type StandbyConvention =
  /** (Is Ts + Ia Ta) x allowance. NFPA 72 10.6.7 style, allowance 1.20 to the 2019 edition, 1.25 reported for 2022 (SEEN-R, in conflict). */
  | { readonly kind: 'sum'; readonly allowance: number }
  /** (Is Ts + Ia Ta) x 1.25 when Ts <= 24 h, x 1.1 more when Ts <= 12 h. VDE 0833-2 (SEEN-R: a printed example). */
  | { readonly kind: 'vde-0833-2' }
  /** 1.25 (T1 I1 + D I2 / 2). BS 5839-1 annex D (constants SEEN-R, formula MEM). D 1.75 unless data prove better. */
  | { readonly kind: 'bs-5839-1'; readonly deratingD?: number };

export type StandbyLoad = {
  readonly standbyMa: number;
  readonly alarmMa: number;
  readonly standbyH: number;
  readonly alarmMin: number;
};

/**
 * Capacity the battery must still deliver, in ampere hours, unrounded.
 * Throws RangeError for a negative or non-finite load, or an allowance below 1.
 */
export function requiredStandbyAh(load: StandbyLoad, convention: StandbyConvention): number {
  // by name: a caller's load may carry more than these four (who asks for the hours, the allowance)
  for (const name of ['standbyMa', 'alarmMa', 'standbyH', 'alarmMin'] as const) {
    const value = load[name];
    if (!Number.isFinite(value) || value < 0) throw new RangeError(`${name}: ${value} is not a load; expected 0 or more.`);
  }
  const [standbyA, alarmA, alarmH] = [load.standbyMa / 1000, load.alarmMa / 1000, load.alarmMin / 60];
  const sum = standbyA * load.standbyH + alarmA * alarmH;
  switch (convention.kind) {
    case 'sum':
      if (!(convention.allowance >= 1)) throw new RangeError(`allowance: ${convention.allowance} is below 1.`);
      return sum * convention.allowance;
    case 'vde-0833-2':
      return sum * (load.standbyH <= 24 ? 1.25 : 1) * (load.standbyH <= 12 ? 1.1 : 1);
    case 'bs-5839-1':
      // The half is the half hour of alarm that the formula fixes; `alarmMin` takes no part in it.
      return 1.25 * (load.standbyH * standbyA + ((convention.deratingD ?? 1.75) * alarmA) / 2);
  }
}

/** Hours the battery still carries the standby load after keeping back what the alarm needs; 0 when nothing is left. */
export function standbyHoursLeft(availableAh: number, load: StandbyLoad, allowance: number): number {
  const keptBack = (load.alarmMa / 1000) * (load.alarmMin / 60);
  const usable = availableAh / allowance - keptBack;
  if (usable <= 0) return 0;
  return load.standbyMa === 0 ? Infinity : usable / (load.standbyMa / 1000);
}

/** Standby hours by grade, type A supply. EN 50131-6 ed. 2 table (SEEN-P: page reproducing it); `reported`: mains loss reaches a receiving centre. */
export function gradeStandbyH(grade: 1 | 2 | 3 | 4, reported: boolean): number {
  if (grade <= 2) return 12;
  return reported ? 30 : 60;
}
