import { useCallback, useEffect, useRef, useState } from 'react';
import { phrase } from '../../../shared/language/index.js';
import type { TideAnswer, TideQuestion } from './tide-model.js';

type Waiting = { resolve: (answer: TideAnswer) => void; reject: (fault: Error) => void };

/** One thread for the forecasts of a screen; it ends with the screen. */
export function useTideThread() {
  const thread = useRef<Worker | null>(null);
  const waiting = useRef(new Map<number, Waiting>());
  const last = useRef(0);
  useEffect(() => {
    const worker = new Worker(new URL('./tide-worker.ts', import.meta.url), { type: 'module' });
    thread.current = worker;
    worker.onmessage = (event: MessageEvent<{ id: number; answer?: TideAnswer; fault?: string }>) => {
      const { id, answer, fault } = event.data;
      const one = waiting.current.get(id);
      waiting.current.delete(id);
      if (answer) one?.resolve(answer);
      else one?.reject(new Error(fault ?? phrase('planning.the-forecast-gave-no-answer')));
    };
    worker.onerror = (event) => { for (const one of waiting.current.values()) one.reject(new Error(event.message || phrase('planning.the-forecast-could-not-be-started'))); waiting.current.clear(); };
    return () => { worker.terminate(); thread.current = null; waiting.current.clear(); };
  }, []);
  return useCallback((question: TideQuestion) => new Promise<TideAnswer>((resolve, reject) => {
    const id = ++last.current;
    waiting.current.set(id, { resolve, reject });
    thread.current?.postMessage({ id, question });
  }), []);
}

export interface Told<A> { data: A | null; error: Error | null; busy: boolean }

/** The answer to a question that changes: the last one stays in sight while the next is worked out. */
export function useTold<K extends TideAnswer['kind']>(ask: (question: TideQuestion) => Promise<TideAnswer>, question: Extract<TideQuestion, { kind: K }> | null, key: string): Told<Extract<TideAnswer, { kind: K }>> {
  const [told, setTold] = useState<Told<Extract<TideAnswer, { kind: K }>>>({ data: null, error: null, busy: false });
  useEffect(() => {
    if (question === null) return undefined;
    let isLatest = true;
    setTold((before) => ({ ...before, busy: true, error: null }));
    // after the thread has been made: effects of a parent run last
    const timer = setTimeout(() => {
      ask(question).then((answer) => { if (isLatest) setTold({ data: answer as Extract<TideAnswer, { kind: K }>, error: null, busy: false }); }, (error: Error) => { if (isLatest) setTold((before) => ({ ...before, error, busy: false })); });
    }, 0);
    return () => { isLatest = false; clearTimeout(timer); };
  }, [key]); // the key names the question; the question itself is another object at every drawing
  return told;
}
