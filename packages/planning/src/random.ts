/** A seeded generator (xorshift128, Marsaglia 2003, from memory): the same seed gives the same numbers everywhere. */
export class Random {
  private a: number;
  private b: number;
  private c: number;
  private d: number;

  constructor(seed: number) {
    // splitmix-like spreading: neighbouring seeds must not give neighbouring streams
    let s = (Math.floor(seed) ^ 0x9e3779b9) >>> 0;
    const mix = (): number => {
      s = (s + 0x6d2b79f5) >>> 0;
      let t = Math.imul(s ^ (s >>> 15), 1 | s);
      t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
      return (t ^ (t >>> 14)) | 0;
    };
    this.a = mix();
    this.b = mix();
    this.c = mix();
    this.d = mix() | 1;
  }

  /** 32 random bits, unsigned. */
  bits(): number {
    const t0 = this.a ^ (this.a << 11);
    this.a = this.b;
    this.b = this.c;
    this.c = this.d;
    this.d = this.d ^ (this.d >>> 19) ^ t0 ^ (t0 >>> 8);
    return this.d >>> 0;
  }

  /** In [0, 1). */
  unit(): number {
    return this.bits() * 2.3283064365386963e-10;
  }

  /** Whole number in [0, n). */
  below(n: number): number {
    return Math.floor(this.unit() * n);
  }
}
