import { type PointerEvent, type RefObject, useEffect, useRef } from 'react';
import { type Carry, type LoomGeometry, type Target, targetAt } from './loom-geometry.js';

/** A press that moves by less is a click. */
const CLICK_PX = 5;
/** Within so many pixels of the frame's edge the picture scrolls along. */
const EDGE_PX = 40;

interface Held { visitId: string; pointerId: number; x0: number; y0: number; left: number; top: number; scroll0: number; page0: number; moving: boolean; target: Target | null }

interface CarryHooks {
  geometry: LoomGeometry; head: number; picture: RefObject<SVGSVGElement | null>; ghost: RefObject<SVGGElement | null>; movable: boolean; carry: Carry | null;
  aim: (next: Carry | null) => void; drop: (held: Carry) => void; choose: (visitId: string) => void;
}

/**
 * Carrying a knot by mouse or pen. While it moves only the ghost's transform is written, once a frame; React draws again when
 * the place under it becomes another one. Fingers scroll the picture and tap: they move visits in the drawer.
 */
export function usePointerCarry({ geometry, head, picture, ghost, movable, carry, aim, drop, choose }: CarryHooks) {
  const held = useRef<Held | null>(null);
  const frame = useRef(0);
  useEffect(() => () => cancelAnimationFrame(frame.current), []);
  useEffect(() => {
    if (carry?.by !== 'pointer') return undefined;
    const leave = (event: KeyboardEvent) => { if (event.key === 'Escape') { held.current = null; aim(null); } };
    window.addEventListener('keydown', leave);
    return () => window.removeEventListener('keydown', leave);
  });

  const follow = (clientX: number, clientY: number) => {
    const now = held.current;
    const scroller = picture.current?.parentElement;
    if (!now || !scroller) return;
    const x = clientX - now.left + scroller.scrollLeft - now.scroll0;
    const y = clientY - now.top + window.scrollY - now.page0;
    if (ghost.current) ghost.current.style.transform = `translate(${x - 8}px, ${y}px)`;
    const target = targetAt(geometry, x, y - head, now.visitId);
    if (now.target === null || target.technicianId !== now.target.technicianId || target.day !== now.target.day || target.position !== now.target.position) {
      now.target = target;
      aim({ visitId: now.visitId, by: 'pointer', target });
    }
  };
  return {
    onPointerDown(event: PointerEvent<SVGSVGElement>) {
      const knot = (event.target as Element).closest<SVGGElement>('[data-knot]');
      if (!knot || event.button !== 0 || carry !== null) return;
      const box = event.currentTarget.getBoundingClientRect();
      held.current = { visitId: knot.dataset['knot']!, pointerId: event.pointerId, x0: event.clientX, y0: event.clientY, left: box.left, top: box.top, scroll0: event.currentTarget.parentElement?.scrollLeft ?? 0, page0: window.scrollY, moving: false, target: null };
      if (event.pointerType === 'touch' || !movable || 'done' in knot.dataset) held.current.pointerId = -1; // taps only
    },
    onPointerMove(event: PointerEvent<SVGSVGElement>) {
      const now = held.current;
      if (!now || now.pointerId !== event.pointerId) return;
      const { clientX, clientY } = event;
      if (!now.moving) {
        if (Math.hypot(clientX - now.x0, clientY - now.y0) < CLICK_PX) return;
        now.moving = true;
        event.currentTarget.setPointerCapture(event.pointerId);
      }
      cancelAnimationFrame(frame.current);
      frame.current = requestAnimationFrame(() => {
        follow(clientX, clientY);
        const scroller = picture.current?.parentElement;
        if (scroller) scroller.scrollLeft += edgePull(clientX, scroller.clientWidth, now.left + now.scroll0);
      });
    },
    onPointerUp(event: PointerEvent<SVGSVGElement>) {
      const now = held.current;
      if (!now) return;
      held.current = null;
      cancelAnimationFrame(frame.current);
      if (now.moving && now.target) { drop({ visitId: now.visitId, by: 'pointer', target: now.target }); return; }
      if (Math.hypot(event.clientX - now.x0, event.clientY - now.y0) < 2 * CLICK_PX) choose(now.visitId);
    },
    onPointerCancel() {
      if (held.current?.moving) aim(null);
      held.current = null;
    },
  };
}

function edgePull(clientX: number, width: number, frameLeft: number): number {
  const x = clientX - frameLeft;
  return x < EDGE_PX ? -12 : x > width - EDGE_PX ? 12 : 0;
}
