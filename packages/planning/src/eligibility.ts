import type { Reason } from './plan.js';
import type { Day, Technician, Visit, VisitWindow } from './problem.js';

export type Role = 'first' | 'second';

/** Why a technician may not serve a visit on a day, whatever else is in the round; null when allowed. `windowsKnown`: they were found usable before. */
export function whyNot(visit: Visit, technician: Technician, day: Day, role: Role, windowsKnown = false): Reason | null {
  if (!technician.shifts.some((s) => s.day === day)) return { rule: 'no-shift', words: `${technician.name} does not work on ${day}` };
  if (!windowsKnown && usableWindows(visit, day).length === 0) return windowReason(visit, day);
  if (visit.forbidden?.includes(technician.id)) return { rule: 'forbidden', words: `${technician.name} is barred from this visit` };
  if (role === 'second') return null;
  const pin = visit.pinned;
  if (pin?.technicianId !== undefined && pin.technicianId !== technician.id) return { rule: 'pinned', words: 'pinned to another technician' };
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
  return null;
}

function windowReason(visit: Visit, day: Day): Reason {
  const pin = visit.pinned;
  if (pin?.day !== undefined && pin.day !== day) return { rule: 'pinned', words: `pinned to ${pin.day}` };
  if (visit.windows.some((w) => w.day === day)) {
    return pin?.startMin !== undefined
      ? { rule: 'pinned', words: `the pinned start ${clock(pin.startMin)} is outside its hours on ${day}` }
      : { rule: 'window', words: `its ${visit.serviceMin} minutes do not end before closing on ${day}` };
  }
  return { rule: 'no-window', words: `the site gives no access on ${day}` };
}

/** Start windows of a visit on a day after pins and closing times, rising and merged. */
export function usableWindows(visit: Visit, day: Day): { startMin: number; endMin: number }[] {
  const pin = visit.pinned;
  if (pin?.day !== undefined && pin.day !== day) return [];
  const list = visit.windows.filter((w) => w.day === day).map((w) => clip(visit, w)).filter((w) => w.startMin <= w.endMin);
  list.sort((a, b) => a.startMin - b.startMin || a.endMin - b.endMin);
  const merged: { startMin: number; endMin: number }[] = [];
  for (const w of list) {
    const last = merged.at(-1);
    if (last !== undefined && w.startMin <= last.endMin) last.endMin = Math.max(last.endMin, w.endMin);
    else merged.push({ ...w });
  }
  return merged;
}

function clip(visit: Visit, w: VisitWindow): { startMin: number; endMin: number } {
  const endMin = w.closeMin === undefined ? w.endMin : Math.min(w.endMin, w.closeMin - visit.serviceMin);
  const at = visit.pinned?.startMin;
  return at === undefined ? { startMin: w.startMin, endMin } : { startMin: Math.max(w.startMin, at), endMin: Math.min(endMin, at) };
}

/** 'HH:MM' of minutes after midnight. */
export function clock(min: number): string {
  return `${String(Math.floor(min / 60)).padStart(2, '0')}:${String(Math.round(min % 60)).padStart(2, '0')}`;
}
