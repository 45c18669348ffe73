import type { AnswerOf, AskOf, Route } from '@bellround/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { enqueueAndSee, outbox } from '../../../shared/device-outbox.js';
import { useToast } from '../../../shared/ui/index.js';

interface QueuedAct<R extends Route> {
  /** sends it in its visit's order, with this phone's clock beside it */
  readonly put: (input: AskOf<R>, title: string) => Promise<void>;
  readonly isBusy: boolean;
  readonly problem: unknown;
}

/**
 * A write of a visit, by way of the device's outbox: in order behind all that was entered before it for this visit, kept
 * when there is no network. `done` is told whether the house took it; when it only waits, the words say so.
 */
export function useQueuedAct<R extends Route>(route: R, visitId: string, settings: { done: (isTaken: boolean, answer: AnswerOf<R> | null) => void; taken: string; waits: string }): QueuedAct<R> {
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<unknown>(null);
  const toast = useToast();
  const put = async (input: AskOf<R>, title: string) => {
    if (isBusy) return;
    setBusy(true);
    setProblem(null);
    const now = new Date().toISOString();
    try {
      const outcome = await enqueueAndSee(route, { deviceClockAt: now, deviceClockNow: now, ...(input as object) } as AskOf<R>, { title, lane: visitId });
      if (outcome.how === 'refused') setProblem(outcome.problem);
      else {
        if (outcome.how === 'waiting' ? settings.waits : settings.taken) toast(outcome.how === 'waiting' ? settings.waits : settings.taken);
        settings.done(outcome.how === 'taken', outcome.how === 'taken' ? (outcome.answer as AnswerOf<R> | null) : null);
      }
    } catch (error) {
      setProblem(error);
    }
    setBusy(false);
  };
  return { put, isBusy, problem };
}

/** Asks again whatever the house may now answer otherwise, each time it has taken something from this device. */
export function useAskAgainWhenSent(): void {
  const client = useQueryClient();
  useEffect(() => outbox.onSent(() => void client.invalidateQueries()), [client]);
}
