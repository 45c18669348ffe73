import type { ReadingValue } from '@bellround/acceptance';
import type { ResponseAnswer } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { dropDraft, keepDraft, readDraft } from '../../shared/drafts.js';
import { newId } from '../../shared/new-id.js';

export type Outcome = 'judged' | 'excused' | 'not-done';

/** One check as far as it is entered. The id is made with the first key, so that whatever happens after it is sent once. */
export interface CheckDraft {
  readonly id: string;
  readonly outcome: Outcome;
  readonly readings: Readonly<Record<string, ReadingValue>>;
  readonly instrumentId: string;
  readonly excuse: string;
  readonly reason: string;
  readonly overrule: { readonly to: 'pass' | 'marginal' | 'fail'; readonly reason: string } | null;
  readonly notes: string;
  /** when it was tripped, by this phone's clock; null: at keeping */
  readonly trippedAt: string | null;
  /** what each expected response came to, by its place in the definition */
  readonly responses: Readonly<Record<number, ResponseAnswer>>;
  /** pictures taken of it: uploaded or waiting here already; what they are of is told when the check is kept */
  readonly photos: readonly { readonly id: string; readonly attachmentId: string; readonly name: string; readonly place: { readonly lat: number; readonly lon: number } | null }[];
  /** a picture that was being kept when the app ended */
  readonly unfinished: string | null;
  readonly why: string;
  readonly savedAt: string | null;
}

const fresh = (): CheckDraft => ({ id: newId(), outcome: 'judged', readings: {}, instrumentId: '', excuse: '', reason: '', overrule: null, notes: '', trippedAt: null, responses: {}, photos: [], unfinished: null, why: '', savedAt: null });

/** The draft of one check, kept on this device at every change; `isKept` is false when the device refuses to keep it. */
export function useCheckDraft(owner: string, visitId: string, subject: string, start: Partial<CheckDraft> = {}) {
  const [found] = useState(() => readDraft<CheckDraft>(owner, visitId, subject));
  const [draft, setDraft] = useState<CheckDraft>(() => ({ ...fresh(), ...start, ...found }));
  const [isKept, setKept] = useState(true);
  const [isDone, setDone] = useState(false);
  const change = (part: Partial<CheckDraft>) => setDraft((before) => ({ ...before, ...part, savedAt: new Date().toISOString() }));
  useEffect(() => {
    if (draft.savedAt !== null && !isDone) setKept(keepDraft(owner, visitId, subject, draft));
  }, [draft, isDone, owner, visitId, subject]);
  const drop = () => { setDone(true); dropDraft(owner, visitId, subject); };
  return { draft, change, drop, isKept, found: found?.savedAt ?? null };
}
