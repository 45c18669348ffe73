/** Level in dB at another distance in the free field: L1 - 20 lg(d2/d1) (formula MEM). Distances in one unit, above 0. */
export function levelAtDistanceDb(levelDb: number, atDistance: number, distance: number): number {
  if (!(atDistance > 0) || !(distance > 0)) throw new RangeError(`Distances must be above 0; got ${atDistance} and ${distance}.`);
  return levelDb - 20 * Math.log10(distance / atDistance);
}

/** Level of several independent sources together, dB. */
export function sumOfLevelsDb(levels: readonly number[]): number {
  return 10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0));
}

/**
 * Level of the sounder alone, from the level with it sounding and the background: they add. Null when the two are closer
 * than 3 dB, where the difference says nothing reliable (common practice).
 */
export function sourceAloneDb(withSourceDb: number, ambientDb: number): number | null {
  return withSourceDb - ambientDb < 3 ? null : 10 * Math.log10(10 ** (withSourceDb / 10) - 10 ** (ambientDb / 10));
}

export type AudibleRule = {
  readonly aboveAmbientDb: number;
  readonly aboveMaximumDb: number;
  /** Never less than this, whatever the ambient; 0 for none. */
  readonly floorDb: number;
  readonly ceilingDb: number;
  readonly words: string;
};

/** NFPA 72 18.4.x (SEEN-R/U): public 15 over average or 5 over a maximum of 60 s; private 10 or 5; sleeping 15, 5 and 75 at the pillow; ceiling 110 dB(A). */
export const audibleRules = {
  public: { aboveAmbientDb: 15, aboveMaximumDb: 5, floorDb: 0, ceilingDb: 110, words: 'NFPA 72, 18.4 public mode (SEEN-R/U)' },
  private: { aboveAmbientDb: 10, aboveMaximumDb: 5, floorDb: 0, ceilingDb: 110, words: 'NFPA 72, 18.4 private mode (SEEN-U)' },
  sleeping: { aboveAmbientDb: 15, aboveMaximumDb: 5, floorDb: 75, ceilingDb: 110, words: 'NFPA 72, 18.4 sleeping areas (SEEN-U)' },
  // BS 5839-1: 65 dB(A) generally, 60 in small rooms and stairs, 75 at the bedhead (SEEN-R); 5 dB over noise lasting over 30 s, 120 the most (MEM).
  'bs-general': { aboveAmbientDb: 5, aboveMaximumDb: 5, floorDb: 65, ceilingDb: 120, words: 'BS 5839-1, generally (SEEN-R; 5 dB over noise lasting over 30 s MEM)' },
  'bs-small-room': { aboveAmbientDb: 5, aboveMaximumDb: 5, floorDb: 60, ceilingDb: 120, words: 'BS 5839-1, small rooms and stairs (SEEN-R; 5 dB MEM)' },
  'bs-bedhead': { aboveAmbientDb: 5, aboveMaximumDb: 5, floorDb: 75, ceilingDb: 120, words: 'BS 5839-1, at the bedhead (SEEN-R; 5 dB MEM)' },
} as const satisfies Record<string, AudibleRule>;

/** The level asked for: the greatest of the rule's floor, ambient + its share, and maximum + its share. Null when nothing known sets one. */
export function requiredLevelDb(rule: AudibleRule, ambientDb: number | null, maximumDb: number | null): number | null {
  const asked = [
    ...(rule.floorDb > 0 ? [rule.floorDb] : []),
    ...(ambientDb === null ? [] : [ambientDb + rule.aboveAmbientDb]),
    ...(maximumDb === null ? [] : [maximumDb + rule.aboveMaximumDb]),
  ];
  return asked.length === 0 ? null : Math.max(...asked);
}

/** Hours a person may stay at a level: T = 8 / 2^((L - base) / exchange). 90 dB(A) and 5 dB: OSHA 1910.95 (SEEN-P/R, formula MEM); 85 and 3 dB (SEEN-R). */
export function allowedExposureH(levelDb: number, baseDb: number, exchangeDb: number): number {
  return 8 / 2 ** ((levelDb - baseDb) / exchangeDb);
}
