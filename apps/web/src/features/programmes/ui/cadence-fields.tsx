import { cadenceInWords, type Cadence, type CadenceKind } from '@bellround/recurrence';
import { todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { CADENCE_KINDS, cadenceOfKind } from './cadence-kinds.js';
import { CheckBox, Select, TextField } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

type Span = { months: number } | { days: number };
type Given = Cadence;

const SPANS: Partial<Record<Given['kind'], readonly (readonly [key: string, label: string])[]>> = {
  'since-last': [['min', phrase('programmes.not-before')], ['nominal', phrase('programmes.nominally')], ['max', phrase('programmes.at-the-latest')]],
  'fixed-month': [['early', phrase('programmes.how-early')], ['late', phrase('programmes.how-late')]],
  age: [['early', phrase('programmes.planned-how-early')], ['late', phrase('programmes.how-late')]],
  'after-event': [['within', phrase('programmes.within')], ['late', phrase('programmes.how-late')]],
  extending: [['first', phrase('programmes.first-after')], ['base', phrase('programmes.then-every')], ['extended', phrase('programmes.lengthened-to')], ['early', phrase('programmes.how-early')], ['late', phrase('programmes.how-late')]],
};
const NUMBERS: Partial<Record<Given['kind'], readonly (readonly [key: string, label: string])[]>> = {
  'fixed-month': [['everyMonths', phrase('programmes.every-how-many-months')], ['dueMonth', phrase('programmes.due-month-1-to-12')]],
  'once-per': [['minGapDays', phrase('programmes.days-apart-at-least')]],
  age: [['years', phrase('programmes.age-in-years')]],
  extending: [['afterClean', phrase('programmes.clean-results-in-a-row')]],
  share: [['numerator', phrase('programmes.share-how-many')], ['denominator', phrase('programmes.of-how-many')]],
  'calendar-rule': [['earlyDays', phrase('programmes.days-early')], ['lateDays', phrase('programmes.days-late')]],
};
/** Parts that may be left out. */
const OPTIONAL: Partial<Record<Given['kind'], readonly (readonly [key: string, label: string])[]>> = {
  'since-last': [['holdDay', phrase('programmes.day-of-the-month-held-through-short')]],
  'fixed-month': [['anchorYear', phrase('programmes.a-year-in-which-the-due-month')]],
  share: [['atLeast', phrase('programmes.at-least-so-many-units-a-period')]],
};
const PERIODS = [{ value: 'week', label: phrase('programmes.period-week') }, { value: 'month', label: phrase('programmes.period-month') }, { value: 'quarter', label: phrase('programmes.period-quarter') }, { value: 'half-year', label: phrase('programmes.period-half-year') }, { value: 'year', label: phrase('programmes.period-year') }];

const KIND_WORDS: Record<CadenceKind, string> = {
  'since-last': phrase('programmes.kind-since-last'), 'fixed-month': phrase('programmes.kind-fixed-month'), 'once-per': phrase('programmes.kind-once-per'), 'calendar-rule': phrase('programmes.kind-calendar-rule'),
  share: phrase('programmes.kind-share'), age: phrase('programmes.kind-age'), 'after-event': phrase('programmes.kind-after-event'), extending: phrase('programmes.kind-extending'),
};

/** The kind of a cadence and its parts as fields, and beneath them what it says in words. Another kind begins about as often as the one before. */
export function CadenceFields({ cadence, path, onChange }: { cadence: Given; path: string; onChange: (cadence: Given) => void }) {
  const { timeZone } = useMe().company;
  const parts = cadence as unknown as Record<string, unknown>;
  const put = (key: string, value: unknown) => onChange({ ...parts, [key]: value } as unknown as Given);
  const leave = (key: string) => onChange(Object.fromEntries(Object.entries(parts).filter(([name]) => name !== key)) as unknown as Given);
  const putList = (key: string, given: string) => (given.trim() === '' ? leave(key) : put(key, given.split(',').map((one) => one.trim())));
  return (
    <fieldset className="stack">
      <legend>{phrase('programmes.how-often')}</legend>
      <Select required label={phrase('programmes.kind-of-cadence')} name={`${path}.kind`} value={cadence.kind} options={CADENCE_KINDS.map((kind) => ({ value: kind, label: KIND_WORDS[kind] }))}
        onChange={(kind) => onChange(cadenceOfKind(kind as CadenceKind, cadence, todayIn(timeZone), timeZone))} />
      {(SPANS[cadence.kind] ?? []).map(([key, label]) => <SpanField key={key} label={label} name={`${path}.${key}`} span={parts[key] as Span} onChange={(span) => put(key, span)} />)}
      {(NUMBERS[cadence.kind] ?? []).map(([key, label]) => <TextField required key={key} label={label} name={`${path}.${key}`} value={text(parts[key])} onChange={(given) => put(key, given.trim() === '' ? null : Number(given))} />)}
      {cadence.kind === 'fixed-month' ? <TextField required label={phrase('programmes.due-day')} name={`${path}.dueDay`} value={text(cadence.dueDay)} help={phrase('programmes.1-to-31-or-month-end-for')} onChange={(given) => put('dueDay', given.trim() === '' ? null : Number.isNaN(Number(given)) ? given.trim() : Number(given))} /> : null}
      {(OPTIONAL[cadence.kind] ?? []).map(([key, label]) => <TextField key={key} label={label} name={`${path}.${key}`} value={text(parts[key])} onChange={(given) => (given.trim() === '' ? leave(key) : put(key, Number(given)))} />)}
      {cadence.kind === 'since-last' ? <CheckBox label={phrase('programmes.a-proof-before-that-still-counts-anew')} checked={cadence.beforeMin === 'counts'} onChange={(counts) => (counts ? put('beforeMin', 'counts') : leave('beforeMin'))} /> : null}
      {'period' in parts ? <Select required label={phrase('programmes.in-each')} name={`${path}.period`} value={String(parts.period)} options={PERIODS} onChange={(period) => put('period', period)} /> : null}
      {cadence.kind === 'calendar-rule' ? (<>
        <TextField required label={phrase('programmes.first-day-or-time')} name={`${path}.dtstart`} value={cadence.dtstart} onChange={(dtstart) => put('dtstart', dtstart.trim())} help={phrase('programmes.yyyy-mm-dd-the-rule-must-meet-it')} />
        <TextField required label={phrase('programmes.time-zone')} name={`${path}.timeZone`} value={cadence.timeZone} onChange={(zone) => put('timeZone', zone.trim())} />
        <TextField required label={phrase('programmes.calendar-rule-rfc-5545')} name={`${path}.rrule`} value={cadence.rrule} onChange={(rrule) => put('rrule', rrule)} />
        <TextField label={phrase('programmes.further-days')} name={`${path}.rdate`} value={(cadence.rdate ?? []).join(', ')} onChange={(given) => putList('rdate', given)} help={phrase('programmes.days-with-commas-between')} />
        <TextField label={phrase('programmes.days-left-out')} name={`${path}.exdate`} value={(cadence.exdate ?? []).join(', ')} onChange={(given) => putList('exdate', given)} help={phrase('programmes.days-with-commas-between')} />
      </>) : null}
      <p className="quiet small">{inWords(cadence)}</p>
    </fieldset>
  );
}

const text = (value: unknown): string => (value === null || value === undefined || Number.isNaN(value) ? '' : String(value));

function inWords(cadence: Given): string {
  try {
    return cadenceInWords(cadence);
  } catch {
    return phrase('programmes.not-complete-yet');
  }
}

function SpanField({ label, name, span, onChange }: { label: string; name: string; span: Span; onChange: (span: Span) => void }) {
  const unit = 'months' in span ? 'months' : 'days';
  const value = 'months' in span ? span.months : span.days;
  const as = (nextUnit: string, next: number): Span => (nextUnit === 'months' ? { months: next } : { days: next });
  return (
    <div className="row">
      <TextField required label={label} name={name} value={text(value)} onChange={(given) => onChange(as(unit, given.trim() === '' ? Number.NaN : Number(given)))} />
      <Select required label={phrase('programmes.label-unit', { label })} value={unit} options={[{ value: 'months', label: phrase('programmes.months') }, { value: 'days', label: phrase('programmes.days') }]} onChange={(next) => onChange(as(next, value))} />
    </div>
  );
}
