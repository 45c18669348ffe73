/** Seeded draws (mulberry32): the same seed gives the same company, byte for byte. */
export class Draw {
  private state: number;
  private made = 0;
  constructor(seed: number) { this.state = seed >>> 0; }

  /** 0 <= x < 1 */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }
  /** whole number from `low` to `high`, both included */
  int(low: number, high: number): number { return low + Math.floor(this.next() * (high - low + 1)); }
  between(low: number, high: number): number { return low + this.next() * (high - low); }
  /** mean and standard deviation, by summing (good enough to look natural) */
  bell(mean: number, sd: number): number { return mean + sd * (this.next() + this.next() + this.next() + this.next() - 2) * 1.732; }
  chance(share: number): boolean { return this.next() < share; }
  pick<T>(list: readonly T[]): T { return list[this.int(0, list.length - 1)]!; }
  /** a UUID of version 7's form: its time part counts rows, so that ids stay in the order of making */
  id(): string {
    this.made += 1;
    const time = (0x0190_0000_0000 + this.made).toString(16).padStart(12, '0');
    const hex = (digits: number) => Array.from({ length: digits }, () => this.int(0, 15).toString(16)).join('');
    return `${time.slice(0, 8)}-${time.slice(8)}-7${hex(3)}-8${hex(3)}-${hex(12)}`;
  }
}
