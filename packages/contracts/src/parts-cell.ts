import type { CellType } from './cells.js';

/** Counted parts in one cell: `7 Ah battery=3; contact=10`. Staged as one object, part to count. */
export function partsCell(): CellType {
  return {
    accepted: 'parts as name=count divided by semicolons, such as "7 Ah battery=3; contact=10"; counts are whole numbers from 0 to 100000', stages: [{ suffix: '', type: 'jsonb' }], free: true,
    show: ([given]) => Object.entries((given as Record<string, number> | null) ?? {}).sort(([a], [b]) => (a < b ? -1 : 1)).map(([part, count]) => `${part}=${count}`).join('; '),
    read: (text) => {
      const counts = new Map<string, number>();
      const named = new Set<string>();
      for (const piece of text.split(';').map((one) => one.trim()).filter((one) => one !== '')) {
        const found = /^(.{1,120}?)\s*=\s*(\d{1,6})$/.exec(piece);
        if (!found || Number(found[2]) > 100_000) return { problem: `holds "${piece.slice(0, 60)}", which is not name=count` };
        const part = found[1]!;
        if (named.has(part.toLowerCase())) return { problem: `names ${part} twice` };
        named.add(part.toLowerCase());
        counts.set(part, Number(found[2]));
      }
      return { values: [JSON.stringify(Object.fromEntries(counts))] };
    },
  };
}
