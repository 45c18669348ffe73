import type { Reason } from './plan.js';
import type { Day, Technician, Visit, VisitWindow } from './problem.js';

export type Role = 'first' | 'second';

/** The same as whyNot === null for a technician who works on a day with usable windows, without the words. */
export function mayServe(visit: Visit, technician: Technician, day: Day, role: Role): boolean {
  if (visit.forbidden?.includes(technician.id)) return false;
  if (role === 'second') return true;
  if (visit.pinned?.technicianId !== undefined && visit.pinned.technicianId !== technician.id) return false;
  if (technician.pairOnly === true || !(visit.skills ?? []).every((s) => technician.skills.includes(s))) return false;
  for (const kind of visit.licences ?? []) if (!technician.licences.some((l) => l.kind === kind && l.from <= day && day <= l.to)) return false;
  return whyNot(visit, technician, day, role, true) === null;
}

/** Why a technician may not serve a visit on a day, whatever else is in the round; null when allowed. `windowsKnown`: they were found usable before. */
export function whyNot(visit: Visit, technician: Technician, day: Day, role: Role, windowsKnown = false): Reason | null {
  if (!technician.shifts.some((s) => s.day === day)) return { rule: 'no-shift', words: `${technician.name} does not work on ${day}` };
  if (!windowsKnown && usableWindows(visit, day).length === 0) return dayReason(visit, day);
  if (visit.forbidden?.includes(technician.id)) return { rule: 'forbidden', words: `${technician.name} is barred from this visit` };
  if (role === 'second') return null;
  const pin = visit.pinned;
  if (pin?.technicianId !== undefined && pin.technicianId !== technician.id) return { rule: 'pinned', words: 'pinned to another technician' };
  const promised = visit.promises?.find((p) => p.priceMin === undefined && p.technicianId !== undefined && p.technicianId !== technician.id);
  if (promised !== undefined) return { rule: 'promise', words: `promised with another technician${promised.words === undefined ? '' : ` (${promised.words})`}` };
  if (technician.pairOnly === true) return { rule: 'pair-only', words: `${technician.name} works only as the second person` };
  const skill = visit.skills?.find((s) => !technician.skills.includes(s));
  if (skill !== undefined) return { rule: 'skill', words: `${technician.name} lacks the skill ${skill}` };
  for (const kind of visit.licences ?? []) {
    const held = technician.licences.filter((l) => l.kind === kind);
    if (held.some((l) => l.from <= day && day <= l.to)) continue;
    const last = held.map((l) => l.to).sort().at(-1);
    return { rule: 'licence', words: last === undefined ? `${technician.name} has no ${kind} licence` : `${technician.name}'s ${kind} licence does not cover ${day} (last valid day ${last})` };
  }
  const item = visit.equipment?.find((e) => !(technician.carries ?? []).includes(e));
  if (item !== undefined) return { rule: 'equipment', words: `${technician.name} does not carry ${item}` };
  for (const [part, n] of Object.entries(visit.uses ?? {})) {
    const has = technician.stock?.[part] ?? 0;
    if (n > has) return { rule: 'stock', words: `${technician.name} has ${has} of ${part} on the van, ${n} are needed` };
  }
  return null;
}

/** Last day on which notice can still be given for a visit on that day. */
export function noticeBy(day: Day, leadDays: number): Day {
  return shiftDay(day, -leadDays);
}

/** The day so many days later. */
export function shiftDay(day: Day, by: number): Day {
  const at = Date.UTC(Number(day.slice(0, 4)), Number(day.slice(5, 7)) - 1, Number(day.slice(8, 10)));
  return new Date(at + by * 86_400_000).toISOString().slice(0, 10);
}

/** A day on which notice, permits or a hard promise do not let the visit be made. */
function closedDay(visit: Visit, day: Day): Reason | null {
  const notice = visit.notice;
  if (notice !== undefined) {
    const first = shiftDay(notice.on, notice.leadDays);
    if (day < first) {
      return { rule: 'notice', words: notice.given ? `notice given on ${notice.on} allows it from ${first} on` : `notice of ${notice.leadDays} days: for ${day} it had to be given by ${noticeBy(day, notice.leadDays)}, the earliest day is now ${first}` };
    }
  }
  for (const p of visit.permits ?? []) {
    if (p.from === null) return { rule: 'permit', words: `the permit ${p.name} is not granted yet` };
    if (day < p.from || (p.to !== null && day > p.to)) return { rule: 'permit', words: `the permit ${p.name} counts from ${p.from}${p.to === null ? '' : ` to ${p.to}`}` };
  }
  const promise = visit.promises?.find((p) => p.priceMin === undefined && p.day !== undefined && p.day !== day);
  return promise === undefined ? null : { rule: 'promise', words: `promised for ${promise.day ?? ''}${promise.words === undefined ? '' : ` (${promise.words})`}` };
}

/** Why a day without usable windows is closed to a visit. */
export function dayReason(visit: Visit, day: Day): Reason {
  const pin = visit.pinned;
  if (pin?.day !== undefined && pin.day !== day) return { rule: 'pinned', words: `pinned to ${pin.day}` };
  const closed = closedDay(visit, day);
  if (closed !== null) return closed;
  if (visit.windows.some((w) => w.day === day)) {
    return pin?.startMin !== undefined
      ? { rule: 'pinned', words: `the pinned start ${clock(pin.startMin)} is outside its hours on ${day}` }
      : hardHours(visit).length > 0 && usableWindows({ ...visit, promises: [] }, day).length > 0
        ? { rule: 'promise', words: `the promised hours do not meet the hours of the site on ${day}` }
      : visit.sounding !== undefined && usableWindows({ ...visit, sounding: undefined }, day).length > 0
        ? { rule: 'window', words: `its sounding part does not fit the noise hours on ${day}` }
      : { rule: 'window', words: `its ${visit.serviceMin} minutes do not end before closing on ${day}` };
  }
  return { rule: 'no-window', words: `the site gives no access on ${day}` };
}

/** Answers given before; visits are never changed in place. */
const known = new WeakMap<Visit, Map<Day, readonly StartWindow[]>>();

interface StartWindow {
  readonly startMin: number;
  readonly endMin: number;
}

/** Start windows of a visit on a day after pins, promises, notice, permits, noise hours and closing times, rising and merged. */
export function usableWindows(visit: Visit, day: Day): readonly StartWindow[] {
  let days = known.get(visit);
  if (days === undefined) known.set(visit, (days = new Map()));
  let windows = days.get(day);
  if (windows === undefined) days.set(day, (windows = startWindows(visit, day)));
  return windows;
}

function startWindows(visit: Visit, day: Day): StartWindow[] {
  const pin = visit.pinned;
  if (pin?.day !== undefined && pin.day !== day) return [];
  if (closedDay(visit, day) !== null) return [];
  const own = visit.windows.filter((w) => w.day === day).map((w) => clip(visit, w));
  const list = hearable(visit, day, own).filter((w) => w.startMin <= w.endMin);
  list.sort((a, b) => a.startMin - b.startMin || a.endMin - b.endMin);
  const merged: { startMin: number; endMin: number }[] = [];
  for (const w of list) {
    const last = merged.at(-1);
    if (last !== undefined && w.startMin <= last.endMin) last.endMin = Math.max(last.endMin, w.endMin);
    else merged.push({ ...w });
  }
  return merged;
}

/** Starts for which the last minutes of the visit fall into the noise hours. */
function hearable(visit: Visit, day: Day, own: readonly { startMin: number; endMin: number }[]): { startMin: number; endMin: number }[] {
  const part = visit.sounding;
  if (part === undefined || part.minutes === 0) return [...own];
  const ahead = visit.serviceMin - part.minutes;
  return own.flatMap((w) => part.windows.filter((n) => n.day === day).map((n) => ({
    startMin: Math.max(w.startMin, n.startMin - ahead),
    endMin: Math.min(w.endMin, n.endMin - ahead, n.closeMin === undefined ? Infinity : n.closeMin - visit.serviceMin),
  })));
}

function hardHours(visit: Visit): readonly { fromMin: number; toMin: number }[] {
  return (visit.promises ?? []).filter((p) => p.priceMin === undefined).map((p) => ({ fromMin: p.fromMin ?? 0, toMin: p.toMin ?? Infinity }));
}

function clip(visit: Visit, w: VisitWindow): { startMin: number; endMin: number } {
  const hard = hardHours(visit);
  const startMin = Math.max(w.startMin, ...hard.map((h) => h.fromMin));
  const endMin = Math.min(w.endMin, w.closeMin === undefined ? Infinity : w.closeMin - visit.serviceMin, ...hard.map((h) => h.toMin));
  const at = visit.pinned?.startMin;
  return at === undefined ? { startMin, endMin } : { startMin: Math.max(startMin, at), endMin: Math.min(endMin, at) };
}

/** 'HH:MM' of minutes after midnight. */
export function clock(min: number): string {
  return `${String(Math.floor(min / 60)).padStart(2, '0')}:${String(Math.round(min % 60)).padStart(2, '0')}`;
}
