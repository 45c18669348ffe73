import { deviceKinds, subjectKinds } from '@bellround/acceptance';
import type { Cadence } from '@bellround/recurrence';
import { checkWord } from '../../../shared/check-words.js';
import { phrase } from '../../../shared/language/index.js';
import { CheckBox, Select, TextField } from '../../../shared/ui/index.js';
import { DEVICE, SUBJECT, wordOf } from '../../../shared/words.js';
import { useLibrary } from '../api/programmes.js';
import { CadenceFields } from './cadence-fields.js';

/** The parts of a rule that are edited here; what else it holds goes back as it came. The house checks all of it. */
export interface RuleDraft {
  key: string; title: string; subject: string; applies: { deviceKinds?: string[] }; cadence: Cadence; basis: string; checkKinds: string[]; meets: string; completeWithinDays: number;
  minutes: number; minEvidence: string; by: string; skills: string[]; licences: string[]; remotely: boolean; sounds: boolean; mandated: boolean; onReturn?: 'continue' | 'check';
  reminderStagesDays: number[]; source: { clause: string; provenance: string };
}

interface Given { rule: RuleDraft; path: string; onChange: (next: Partial<RuleDraft>) => void }

/** Who may do a duty. */
export const BY: Readonly<Record<string, string>> = { technician: phrase('programmes.by-a-technician'), licensed: phrase('programmes.by-somebody-licensed'), occupant: phrase('programmes.by-the-occupant') };

export const whole = (text: string): number => (text.trim() === '' ? Number.NaN : Number(text));
const shown = (value: number): string => (Number.isNaN(value) ? '' : String(value));
const listed = (text: string): string[] => text.split(',').map((one) => one.trim()).filter((one) => one !== '');

/** One duty of a programme: how often, on what, met by which checks, by whom, and where it is written. */
export function RuleFields({ rule, path, onChange }: Given) {
  return (
    <>
      <TextField required label={phrase('programmes.duty')} name={`${path}.title`} value={rule.title} onChange={(title) => onChange({ title })} />
      <CadenceFields path={`${path}.cadence`} cadence={rule.cadence} onChange={(cadence) => onChange(cadence.kind === rule.cadence.kind ? { cadence } : fitting(rule, cadence))} />
      <SubjectFields rule={rule} path={path} onChange={onChange} />
      <CheckFields rule={rule} path={path} onChange={onChange} />
      <TextField required label={phrase('programmes.minutes-on-site')} name={`${path}.minutes`} value={shown(rule.minutes)} onChange={(text) => onChange({ minutes: whole(text) })} />
      <Select required label={phrase('programmes.least-evidence')} name={`${path}.minEvidence`} value={rule.minEvidence} onChange={(minEvidence) => onChange({ minEvidence })}
        options={[{ value: 'A', label: phrase('programmes.a-confirmed-by-the-station') }, { value: 'B', label: phrase('programmes.b-technician-on-site') }, { value: 'C', label: phrase('programmes.c-declared-by-the-occupant') }, { value: 'D', label: phrase('programmes.d-inherited-or-quick-look') }]} />
      <ByWhom rule={rule} path={path} onChange={onChange} />
      <CheckBox label={phrase('programmes.mandated')} checked={rule.mandated} onChange={(mandated) => onChange({ mandated })} />
      <CheckBox label={phrase('programmes.after-a-suspension-a-check-is-owed')} checked={rule.onReturn === 'check'} onChange={(owed) => onChange({ onReturn: owed ? 'check' : 'continue' })} />
      <TextField label={phrase('programmes.reminders-days-before-the-lapse')} name={`${path}.reminderStagesDays`} value={rule.reminderStagesDays.map(shown).join(', ')} onChange={(text) => onChange({ reminderStagesDays: listed(text).map(whole) })} help={phrase('programmes.largest-first-commas-between')} />
      <TextField required label={phrase('programmes.source-and-clause')} name={`${path}.source.clause`} value={rule.source.clause} onChange={(clause) => onChange({ source: { ...rule.source, clause } })} />
      <TextField required label={phrase('programmes.how-it-is-known')} name={`${path}.source.provenance`} value={rule.source.provenance} onChange={(provenance) => onChange({ source: { ...rule.source, provenance } })} help={phrase('programmes.seen-in-or-from-memory')} />
    </>
  );
}

/** What another kind of cadence asks of its rule: a share is owed by a system, an age counts from manufacture. */
function fitting(rule: RuleDraft, cadence: Cadence): Partial<RuleDraft> {
  if (cadence.kind === 'share') return { cadence, subject: 'system' };
  if (cadence.kind === 'age') return { cadence, basis: 'manufacture' };
  // The units of a share were devices; owed one by one, each device owes its own.
  return rule.cadence.kind === 'share' && rule.applies.deviceKinds ? { cadence, subject: 'device' } : { cadence };
}

function SubjectFields({ rule, path, onChange }: Given) {
  const isShare = rule.cadence.kind === 'share';
  const kinds = rule.applies.deviceKinds ?? [];
  const choose = (next: string[]) => {
    const { deviceKinds: _, ...rest } = rule.applies;
    onChange({ applies: next.length > 0 ? { ...rest, deviceKinds: next } : rest });
  };
  return (
    <>
      <Select required label={phrase('programmes.owed-by-each')} name={`${path}.subject`} value={rule.subject} disabled={isShare} onChange={(subject) => onChange({ subject })} options={subjectKinds.map((subject) => ({ value: subject, label: SUBJECT[subject] }))} />
      {isShare || rule.subject === 'device' ? (
        <details><summary>{phrase('programmes.kinds-of-device', { kinds: kinds.length === 0 ? phrase('programmes.all') : kinds.map((kind) => wordOf(DEVICE, kind)).join(', ') })}</summary>
          {deviceKinds.map((kind) => <CheckBox key={kind} label={DEVICE[kind]} checked={kinds.includes(kind)} onChange={(on) => choose(on ? [...kinds, kind] : kinds.filter((one) => one !== kind))} />)}
        </details>
      ) : null}
      <Select required label={phrase('programmes.first-counts-from')} name={`${path}.basis`} value={rule.basis} onChange={(basis) => onChange({ basis })}
        options={[{ value: 'commissioning', label: phrase('programmes.commissioning') }, { value: 'manufacture', label: phrase('programmes.manufacture') }, { value: 'none', label: phrase('programmes.nothing-cant-tell-at-first') }]} />
    </>
  );
}

/** The kinds of check that the library names for such a subject, and those the rule has. */
function CheckFields({ rule, path, onChange }: Given) {
  const library = useLibrary();
  const owedBy = rule.cadence.kind === 'share' ? 'device' : rule.subject;
  const known = (library.data?.rows ?? []).flatMap((programme) => programme.rules.filter((one) => (one.cadenceKind === 'share' ? 'device' : one.subject) === owedBy).flatMap((one) => one.checkKinds));
  const kinds = [...new Set([...rule.checkKinds, ...known])].sort();
  return (
    <>
      <details><summary>{phrase('programmes.met-by-the-checks', { checks: rule.checkKinds.map(checkWord).join(', ') || phrase('programmes.none') })}</summary>
        {kinds.map((kind) => <CheckBox key={kind} label={checkWord(kind)} checked={rule.checkKinds.includes(kind)} onChange={(on) => onChange({ checkKinds: on ? [...rule.checkKinds, kind] : rule.checkKinds.filter((one) => one !== kind) })} />)}
      </details>
      {rule.checkKinds.length > 1 ? <Select required label={phrase('programmes.one-or-all-of-them')} name={`${path}.meets`} value={rule.meets} onChange={(meets) => onChange({ meets })} options={[{ value: 'any', label: phrase('programmes.one-of-them-is-enough') }, { value: 'all', label: phrase('programmes.all-of-them-together') }]} /> : null}
      {rule.checkKinds.length > 1 && rule.meets === 'all' ? <TextField required label={phrase('programmes.together-within-days')} name={`${path}.completeWithinDays`} value={shown(rule.completeWithinDays)} onChange={(text) => onChange({ completeWithinDays: whole(text) })} /> : null}
      <CheckBox label={phrase('programmes.can-be-met-without-a-visit')} checked={rule.remotely} onChange={(remotely) => onChange({ remotely })} />
      <CheckBox label={phrase('programmes.sounders-work-noise-hours-count')} checked={rule.sounds} onChange={(sounds) => onChange({ sounds })} />
    </>
  );
}

function ByWhom({ rule, path, onChange }: Given) {
  return (
    <>
      <Select required label={phrase('programmes.done-by')} name={`${path}.by`} value={rule.by} onChange={(by) => onChange({ by })} options={Object.entries(BY).map(([value, label]) => ({ value, label }))} />
      <TextField label={phrase('programmes.skills')} name={`${path}.skills`} value={rule.skills.join(', ')} onChange={(text) => onChange({ skills: listed(text) })} help={phrase('programmes.words-with-commas-between')} />
      <TextField label={phrase('programmes.licences')} name={`${path}.licences`} value={rule.licences.join(', ')} onChange={(text) => onChange({ licences: listed(text) })} help={phrase('programmes.words-with-commas-between')} />
    </>
  );
}
