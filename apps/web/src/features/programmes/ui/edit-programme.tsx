import type { ProgrammeShown } from '@bellround/contracts';
import { useState } from 'react';
import { useNavigate } from 'react-router';
import { newId } from '../../../shared/new-id.js';
import { Button, Drawer, Form, TextField, useToast } from '../../../shared/ui/index.js';
import { useSave, useTrySave } from '../api/programmes.js';
import { Changes } from './changes.js';
import { type RuleDraft, RuleFields } from './rule-fields.js';
import { phrase } from '../../../shared/language/index.js';

/** The parts of a programme's body that are edited here; the rest goes back as it came. The house checks all of it. */
interface Draft { key: string; title: string; regime: { kind: string; name: string; edition: string }; rules: RuleDraft[] }

/** A further duty that begins as a copy, under a key nobody has. */
function likeIt(rule: RuleDraft, rules: readonly RuleDraft[]): RuleDraft {
  let n = 2;
  while (rules.some((one) => one.key === `${rule.key}-${n}`)) n += 1;
  return { ...structuredClone(rule), key: `${rule.key}-${n}`, title: `${rule.title} (${n})` };
}

/** Edits a programme into its next version, or into a programme of its own. Nothing changes for any system until that version is laid on it. */
export function EditProgramme({ programme, asOwn = false, onClose }: { programme: ProgrammeShown; asOwn?: boolean; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [draft, setDraft] = useState<Draft>(() => asOwn ? { ...(structuredClone(programme.body) as unknown as Draft), key: `${programme.key}-own`, title: phrase('programmes.title-ours', { title: programme.title }) } : structuredClone(programme.body) as unknown as Draft);
  const attempt = useTrySave();
  const save = useSave();
  const toast = useToast();
  const navigate = useNavigate();
  const change = (next: Partial<Draft>) => { setDraft({ ...draft, ...next }); attempt.reset(); };
  const changeRule = (at: number, next: Partial<RuleDraft>) => change({ rules: draft.rules.map((rule, n) => (n === at ? { ...rule, ...next } : rule)) });
  const input = { id, body: draft as unknown as Record<string, unknown>, basedOn: programme.id };
  return (
    <Drawer title={asOwn ? phrase('programmes.clone-title', { title: programme.title }) : phrase('programmes.edit-title', { title: programme.title })} onClose={onClose}>
      <Form problem={attempt.error ?? save.error} onSubmit={() => attempt.mutate({ ...input, dryRun: true })}>
        {asOwn ? <><p className="note">{phrase('programmes.saved-as-a-programme-of-your-own')}</p>
          <TextField required label={phrase('programmes.short-name')} name="body.key" value={draft.key} onChange={(key) => change({ key })} help={phrase('programmes.lower-case-words-joined-by-hyphens-no')} /></>
          : <p className="note">{phrase('programmes.saved-as-version-value-the-version-laid', { value: programme.version + 1 })}</p>}
        <TextField required label={phrase('programmes.title')} name="body.title" value={draft.title} onChange={(title) => change({ title })} />
        <TextField label={phrase('programmes.edition')} name="body.regime.edition" value={draft.regime.edition} onChange={(edition) => change({ regime: { ...draft.regime, edition } })} />
        {draft.rules.map((rule, at) => (
          <details key={rule.key} className="leaf">
            <summary><strong>{rule.title}</strong></summary>
            <div className="stack">
              <RuleFields rule={rule} path={`body.rules.${at}`} onChange={(next) => changeRule(at, next)} />
              <Button size="small" onClick={() => change({ rules: [...draft.rules.slice(0, at + 1), likeIt(rule, draft.rules), ...draft.rules.slice(at + 1)] })}>{phrase('programmes.add-another-duty-like-this')}</Button>
              <Button size="small" kind="danger" onClick={() => change({ rules: draft.rules.filter((_, n) => n !== at) })}>{phrase('programmes.take-this-duty-out')}</Button>
            </div>
          </details>
        ))}
        <Button type="submit" busy={attempt.isPending}>{phrase('programmes.show-what-changes')}</Button>
        {attempt.data ? (<div className="note" role="status">
          {attempt.data.changes ? <Changes changes={attempt.data.changes} /> : null}
          <Button kind="do" busy={save.isPending} onClick={() => save.mutate({ ...input, dryRun: false }, { onSuccess: (saved) => { toast(phrase('programmes.version-version-is-saved-lay-it-on', { version: saved.version })); onClose(); void navigate(`/programmes/${saved.id}`); } })}>{phrase('programmes.save-version-version', { version: attempt.data.version })}</Button>
        </div>) : null}
      </Form>
    </Drawer>
  );
}
