import { type FirstStep } from '@bellround/contracts';
import { useEffect } from 'react';
import { useLocation } from 'react-router';
import { useFirstRun } from '../features/fleet/api/first-run.js';
import { BeginLine } from '../features/fleet/ui/begin-screen.js';
import { useMay, useMe } from '../shared/session.js';

const key = (companyId: string): string => `bellround.under-way/${companyId}`;

function isUnderWay(companyId: string): boolean {
  try {
    return localStorage.getItem(key(companyId)) !== null;
  } catch {
    return false;
  }
}

/** The next step of a company that has not published a week yet, for those who plan; null when there is none, undefined while it is asked. */
export function useNextStep(): { next: FirstStep | null; isEmpty: boolean } | undefined {
  const { company } = useMe();
  const isAsked = useMay('plan') && !isUnderWay(company.id);
  const run = useFirstRun(isAsked);
  const isThere = run.data?.next === null;
  useEffect(() => {
    // Once under way it is not asked again on this device.
    if (isThere) try { localStorage.setItem(key(company.id), 'yes'); } catch { /* storage is off: it is asked again */ }
  }, [isThere, company.id]);
  if (!isAsked || run.isError) return { next: null, isEmpty: false };
  return run.data && { next: run.data.next, isEmpty: run.data.steps.find((one) => one.step === 'systems')?.isDone === false };
}

/** Stands on every screen until a week is published, except where it would say what the page says. */
export function SettingUp() {
  const { pathname } = useLocation();
  const step = useNextStep();
  return step?.next && pathname !== '/begin' ? <BeginLine next={step.next} /> : null;
}
