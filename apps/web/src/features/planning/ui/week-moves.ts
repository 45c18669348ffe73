import type { MoveAnswer, WeekView } from '@bellround/contracts';
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { routes } from '@bellround/contracts';
import { useCallback, useEffect, useRef, useState } from 'react';
import { ask } from '../../../shared/client.js';
import { newId } from '../../../shared/new-id.js';
import { planningKeys } from '../api/week.js';
import type { Target } from './loom-geometry.js';

/** A move as the server takes it; `technicianId` null takes the visit off the rounds. */
export interface Move { visitId: string; technicianId: string | null; day?: string; position?: number; secondTechnicianId?: string }

/** Where a visit stands in a plan, as the move that would put it back there. */
export function spotOf(view: WeekView, visitId: string): Move {
  for (const round of view.rounds) {
    const position = round.stops.findIndex((stop) => stop.visitId === visitId && stop.joins === undefined);
    if (position >= 0) {
      const second = round.stops[position]!.second;
      return { visitId, technicianId: round.technicianId, day: round.day, position, ...(second === undefined ? {} : { secondTechnicianId: second }) };
    }
  }
  return { visitId, technicianId: null };
}

export function moveTo(view: WeekView, visitId: string, target: Target): Move {
  const now = spotOf(view, visitId);
  if (target.technicianId === null) return { visitId, technicianId: null };
  // the second person of a two-person visit stays, unless the visit goes to that very person
  const second = now.secondTechnicianId === target.technicianId ? (now.technicianId ?? undefined) : now.secondTechnicianId;
  return { visitId, technicianId: target.technicianId, day: target.day, position: target.position, ...(second === undefined ? {} : { secondTechnicianId: second }) };
}

export const sameSpot = (a: Move, b: Move): boolean => a.technicianId === b.technicianId && (a.technicianId === null || (a.day === b.day && a.position === b.position));

/** How long a target must stand still before its effect is asked for. */
const SETTLE_MS = 90;

export type Preview = { state: 'none' } | { state: 'asking'; move: Move } | { state: 'told'; move: Move; answer: MoveAnswer } | { state: 'refused'; move: Move; problem: unknown };

/** What the move under the hand would cost and break: asked once it stands still, the latest answer only. */
export function usePreview(view: WeekView) {
  const [preview, setPreview] = useState<Preview>({ state: 'none' });
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const latest = useRef(0);
  const abort = useRef<AbortController>(undefined);
  const look = useCallback((move: Move | null) => {
    clearTimeout(timer.current);
    abort.current?.abort();
    const turn = ++latest.current;
    if (move === null || !view.plan) { setPreview({ state: 'none' }); return; }
    const { id: planId, revision } = view.plan;
    setPreview({ state: 'asking', move });
    timer.current = setTimeout(() => {
      abort.current = new AbortController();
      ask(routes.previewMove, { planId, revision, ...move }, abort.current.signal)
        .then((answer) => { if (turn === latest.current) setPreview({ state: 'told', move, answer }); })
        .catch((problem: unknown) => { if (turn === latest.current) setPreview({ state: 'refused', move, problem }); });
    }, SETTLE_MS);
  }, [view.plan]);
  useEffect(() => () => { clearTimeout(timer.current); abort.current?.abort(); }, []);
  return { preview, look };
}

interface Step { planId: string; back: Move; words: string }

/**
 * Moves with undo. A move in a published plan first makes a draft of it, so that nothing published changes under the hand.
 * `onDraft` is told the draft that the move went to.
 */
export function useMoves(view: WeekView, onDraft: (planId: string) => void) {
  const client = useQueryClient();
  const [steps, setSteps] = useState<readonly Step[]>([]);
  const act = useMutation({
    mutationFn: async ({ move, words, undo }: { move: Move; words: string; undo?: boolean }) => {
      let plan = view.plan!;
      const back = spotOf(view, move.visitId);
      if (plan.state !== 'draft') plan = await ask(routes.copyPlan, { planId: plan.id, newPlanId: newId() });
      const answer = await ask(routes.moveStop, { planId: plan.id, revision: plan.revision, ...move });
      return { answer, step: { planId: plan.id, back, words }, undo: undo === true };
    },
    onSuccess: async ({ step, undo }) => {
      setSteps((all) => (undo ? all.slice(0, -1) : [...all.filter((one) => one.planId === step.planId).slice(-49), step]));
      if (step.planId !== view.plan?.id) onDraft(step.planId);
      await client.invalidateQueries({ queryKey: planningKeys.all });
    },
  });
  const last = steps.findLast((step) => step.planId === view.plan?.id);
  return {
    error: act.error, busy: act.isPending, reset: act.reset,
    move: (move: Move, words: string) => act.mutateAsync({ move, words }).catch(() => undefined),
    undo: last ? () => act.mutate({ move: last.back, words: last.words, undo: true }) : null, lastWords: last?.words ?? null,
  };
}
