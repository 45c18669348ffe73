import type { CellType } from './cells.js';

export interface StagedReading { readonly key: string; readonly number: number | null; readonly flag: boolean | null; readonly text: string | null }

/** Readings of a past check in one cell: `voltsOff=13.1; present=yes; note=corroded terminal`. */
export function readingsCell(): CellType {
  return {
    accepted: 'readings as key=value divided by semicolons, such as "voltsOff=13.1; minutes=15"; numbers with a decimal point', stages: [{ suffix: '', type: 'jsonb' }], free: true,
    show: ([given]) => ((given as StagedReading[] | null) ?? []).map((one) => `${one.key}=${one.number ?? (one.flag === null ? one.text : one.flag ? 'yes' : 'no')}`).join('; '),
    read: (text) => {
      const readings: StagedReading[] = [];
      for (const part of text.split(';').map((piece) => piece.trim()).filter((piece) => piece !== '')) {
        const found = /^([A-Za-z][A-Za-z0-9_.-]{0,79})\s*=\s*(.{1,500})$/.exec(part);
        if (!found) return { problem: `"${part.slice(0, 60)}" is not key=value` };
        const [, name, written] = found as unknown as [string, string, string];
        if (readings.some((one) => one.key === name)) return { problem: `gives ${name} twice` };
        const flag = /^(yes|true)$/i.test(written) ? true : /^(no|false)$/i.test(written) ? false : null;
        const number = /^[+-]?\d+(\.\d+)?$/.test(written) ? Number(written) : null;
        readings.push({ key: name, number, flag, text: flag === null && number === null ? written : null });
      }
      return { values: [JSON.stringify(readings)] };
    },
  };
}
