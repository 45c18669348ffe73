import { applyOverrule, OverruleRefused, type Judgement } from '@bellround/acceptance';
import { Choices, TextField } from '../../../shared/ui/index.js';
import type { CheckDraft } from '../check-draft.js';
import { phrase } from '../../../shared/language/index.js';
import { VERDICT } from '../../../shared/words.js';

/** What is wrong with an overrule, or null: downward is free, upward needs its reason in words. */
export function overruleFault(judged: Judgement, overrule: CheckDraft['overrule']): string | null {
  if (overrule === null) return null;
  try {
    applyOverrule(judged, overrule);
    return null;
  } catch (error) {
    if (error instanceof OverruleRefused) return phrase('visits.a-better-verdict-than-the-computed-one');
    throw error;
  }
}

/** Judging otherwise than the numbers: both verdicts are kept and both stay visible. */
export function OverruleFields({ judged, overrule, onChange }: { judged: Judgement; overrule: CheckDraft['overrule']; onChange: (overrule: CheckDraft['overrule']) => void }) {
  return (
    <details open={overrule !== null}>
      <summary>{phrase('visits.i-judge-it-otherwise')}</summary>
      <Choices<'computed' | 'pass' | 'marginal' | 'fail'> label={phrase('visits.the-verdict-that-stands')} value={overrule?.to ?? 'computed'} onChange={(to) => onChange(to === 'computed' ? null : { to, reason: overrule?.reason ?? '' })}
        options={[{ value: 'computed', label: phrase('visits.as-computed-replaceall', { replaceAll: VERDICT[judged.verdict] }) }, ...(['pass', 'marginal', 'fail'] as const).filter((one) => one !== judged.verdict).map((value) => ({ value, label: VERDICT[value] }))]} />
      {overrule ? <TextField label={phrase('visits.why')} name="overrule.reason" value={overrule.reason} onChange={(reason) => onChange({ ...overrule, reason })} /> : null}
      {overrule ? <p className="small">{phrase('visits.the-computed-verdict-stays-beside-yours-with')}</p> : null}
    </details>
  );
}
