/** An academic instance, distances as whole numbers in 1/scale. Client 0 is the depot. */
export interface VrptwInstance {
  readonly name: string;
  readonly vehicles: number;
  /** Per vehicle. */
  readonly capacity: readonly number[];
  readonly scale: number;
  readonly distance: Int32Array;
  readonly size: number;
  readonly demand: readonly number[];
  readonly ready: readonly number[];
  readonly due: readonly number[];
  readonly service: readonly number[];
  /** Prize per client where clients are optional, else null. */
  readonly prize: readonly number[] | null;
  /** Clients allowed per vehicle, null: all. */
  readonly allowed: readonly ReadonlySet<number>[] | null;
  readonly maxDuration: number | null;
}

export class BadInstance extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'BadInstance';
  }
}

/** Euclidean distances truncated to whole 1/scale (scale 10: the DIMACS convention, one decimal). */
export function truncatedDistances(x: readonly number[], y: readonly number[], scale: number): Int32Array {
  const n = x.length;
  const d = new Int32Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) d[i * n + j] = Math.floor(scale * Math.hypot(x[i] - x[j], y[i] - y[j]) + 1e-9);
  }
  return d;
}

/** Reads the Solomon / Gehring-Homberger text form. Throws BadInstance. */
export function parseSolomon(text: string): VrptwInstance {
  const lines = text.split(/\r?\n/).map((l) => l.trim()).filter((l) => l !== '');
  const at = lines.findIndex((l) => /^NUMBER\s+CAPACITY/i.test(l));
  const customers = lines.findIndex((l) => /^CUST/i.test(l) && /\s/.test(l));
  if (at < 0 || customers < 0) throw new BadInstance('no lines NUMBER CAPACITY and CUST NO. found; accepted is the Solomon text form');
  const [vehicles, capacity] = numbers(lines[at + 1], 2);
  const rows = lines.slice(customers + 1).map((l) => numbers(l, 7));
  const column = (i: number): number[] => rows.map((r) => r[i]);
  const scale = 10;
  const times = (i: number): number[] => column(i).map((v) => v * scale);
  return {
    name: lines[0], vehicles, capacity: new Array<number>(vehicles).fill(capacity), scale,
    distance: truncatedDistances(column(1), column(2), scale), size: rows.length, demand: column(3),
    ready: times(4), due: times(5), service: times(6), prize: null, allowed: null, maxDuration: null,
  };
}

function numbers(line: string | undefined, least: number): number[] {
  const found = (line ?? '').split(/\s+/).filter((w) => w !== '').map(Number);
  if (found.length < least || found.some((v) => !Number.isFinite(v))) throw new BadInstance(`line '${line ?? ''}' has not ${least} numbers`);
  return found;
}

/**
 * Reads VRPLIB text with time windows, prizes and allowed vehicles. Distances are scaled and truncated: by 10 for
 * prize-collecting instances, by 1000 for site-dependent ones (the conventions of the published costs). Throws BadInstance.
 */
export function parseVrplib(text: string): VrptwInstance {
  const head = new Map<string, string>();
  const sections = new Map<string, string[]>();
  let open: string[] | null = null;
  for (const raw of text.split(/\r?\n/)) {
    const line = raw.trim();
    if (line === '' || line === 'EOF') continue;
    if (/_SECTION$/.test(line)) {
      open = [];
      sections.set(line, open);
    } else if (open === null || /^[A-Z_]+\s*:/.test(line)) {
      const colon = line.indexOf(':');
      if (colon > 0) head.set(line.slice(0, colon).trim(), line.slice(colon + 1).trim());
    } else open.push(line);
  }
  const section = (name: string): number[][] => (sections.get(name) ?? []).map((l) => numbers(l, 1));
  const coords = section('NODE_COORD_SECTION');
  const n = coords.length;
  if (n === 0) throw new BadInstance('NODE_COORD_SECTION is missing');
  const vehicles = Number(head.get('VEHICLES') ?? n - 1);
  const scale = sections.has('PRIZE_SECTION') ? 10 : 1000;
  const second = (name: string, factor: number, otherwise: number): number[] => {
    const rows = section(name);
    return rows.length === 0 ? new Array<number>(n).fill(otherwise) : rows.map((r) => r[1] * factor);
  };
  const windows = section('TIME_WINDOW_SECTION');
  const service = head.has('SERVICE_TIME') ? coords.map((_, i) => (i === 0 ? 0 : Number(head.get('SERVICE_TIME')) * scale)) : second('SERVICE_TIME_SECTION', scale, 0);
  const duration = head.get('VEHICLES_MAX_DURATION');
  const allowedRows = section('VEHICLES_ALLOWED_CLIENTS_SECTION');
  const capacityRows = section('CAPACITY_SECTION');
  return {
    name: head.get('NAME') ?? '', vehicles,
    capacity: capacityRows.length > 0 ? capacityRows.map((r) => r[1]) : new Array<number>(vehicles).fill(Number(head.get('CAPACITY') ?? 1e9)),
    scale, distance: truncatedDistances(coords.map((r) => r[1]), coords.map((r) => r[2]), scale), size: n,
    demand: second('DEMAND_SECTION', 1, 0), ready: windows.map((r) => r[1] * scale), due: windows.map((r) => r[2] * scale), service,
    prize: sections.has('PRIZE_SECTION') ? second('PRIZE_SECTION', scale, 0) : null,
    allowed: allowedRows.length > 0 ? allowedRows.map((r) => new Set(r.slice(1).map((c) => c - 1))) : null,
    maxDuration: duration === undefined ? null : Number(duration) * scale,
  };
}
