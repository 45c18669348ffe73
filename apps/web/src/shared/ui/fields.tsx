import { type ReactNode, useEffect, useId, useState } from 'react';
import { parseNumber } from '../parse-number.js';
import { dayWords } from '../format.js';
import { useFault, useInForm } from './faults.js';
import { phrase } from '../language/index.js';

export interface FieldProps {
  label: string;
  /** path of the input it fills; a refusal of that path is shown here */
  name?: string;
  help?: ReactNode;
  required?: boolean;
  /** a refusal found on this screen */
  fault?: string | null;
  /** the label is only for screen readers (a table's cell) */
  bare?: boolean;
}

interface Wiring { id: string; 'aria-describedby': string | undefined; 'aria-invalid': true | undefined; 'aria-required': true | undefined; name?: string }

/** Label, help and fault around any control: pass a function that puts the wiring on it. */
export function Field({ label, name, help, required, fault, bare, children }: FieldProps & { children: (wiring: Wiring, wrong: boolean) => ReactNode }) {
  const id = useId();
  const isInForm = useInForm();
  const refused = useFault(name);
  const words = fault ?? refused;
  const describedBy = [help ? `${id}-help` : '', words ? `${id}-fault` : ''].filter(Boolean).join(' ');
  const wiring: Wiring = {
    id, 'aria-describedby': describedBy || undefined, 'aria-invalid': words ? true : undefined, 'aria-required': required ? true : undefined,
    ...(name ? { name } : {}),
  };
  return (
    <div className="field">
      <label htmlFor={id} className={bare ? 'unseen' : undefined}>{label}{required || bare || !isInForm ? '' : <span className="quiet small"> {phrase('app.optional')}</span>}</label>
      {help ? <div className="help" id={`${id}-help`}>{help}</div> : null}
      {children(wiring, Boolean(words))}
      {words ? <div className="fault" id={`${id}-fault`}>{words}</div> : null}
    </div>
  );
}

type TextFieldProps = FieldProps & {
  value: string;
  onChange: (value: string) => void;
  type?: 'text' | 'email' | 'password' | 'tel' | 'url' | 'time';
  autoComplete?: string;
  autoFocus?: boolean;
  placeholder?: string;
  maxLength?: number;
  disabled?: boolean;
  /** suggestions; anything else may be typed */
  suggestions?: readonly string[];
};

export function TextField({ value, onChange, type = 'text', autoComplete = 'off', autoFocus, placeholder, maxLength, disabled, suggestions, ...field }: TextFieldProps) {
  const list = useId();
  return (
    <Field {...field}>{(wiring, wrong) => (
      <div className={wrong ? 'box wrong' : 'box'}>
        <input {...wiring} type={type} value={value} onChange={(event) => onChange(event.target.value)} autoComplete={autoComplete} autoFocus={autoFocus}
          placeholder={placeholder} maxLength={maxLength} disabled={disabled} {...(suggestions ? { list } : {})} />
        {suggestions ? <datalist id={list}>{suggestions.map((one) => <option key={one} value={one} />)}</datalist> : null}
      </div>
    )}</Field>
  );
}

export function TextArea({ value, onChange, rows = 3, maxLength, ...field }: FieldProps & { value: string; onChange: (value: string) => void; rows?: number; maxLength?: number }) {
  return (
    <Field {...field}>{(wiring, wrong) => (
      <div className={wrong ? 'box wrong' : 'box'}><textarea {...wiring} rows={rows} maxLength={maxLength} value={value} onChange={(event) => onChange(event.target.value)} /></div>
    )}</Field>
  );
}

type NumberFieldProps = FieldProps & {
  value: number | null;
  onChange: (value: number | null) => void;
  unit?: string;
  min?: number;
  max?: number;
  /** shows − and + that move the value by this much */
  step?: number;
  disabled?: boolean;
};

/** A number with its unit; takes a decimal comma, shows the number pad, says what cannot be read. Empty is null, never 0. */
export function NumberField({ value, onChange, unit, min, max, step, disabled, fault, ...field }: NumberFieldProps) {
  const [text, setText] = useState(value === null ? '' : String(value));
  const read = parseNumber(text);
  useEffect(() => {
    // A value set from outside replaces the text; one that the text already says leaves it ('1.50').
    const now = parseNumber(text);
    if (now === undefined ? value !== null : now !== value) setText(value === null ? '' : String(value));
    // Runs on this one change only: the rest is read as it is then.
  }, [value]);
  const outside = typeof read === 'number' && ((min !== undefined && read < min) || (max !== undefined && read > max));
  const accepted = [min === undefined ? '' : phrase('app.from-min', { min }), max === undefined ? '' : phrase('app.to-max', { max })].filter(Boolean).join(' ');
  const own = read === undefined ? phrase('app.text-is-not-a-number', { text }) : outside ? phrase('app.must-be-accepted-value', { accepted, value: unit ? ` ${unit}` : '' }) : null;
  const write = (next: string) => { setText(next); onChange(parseNumber(next) ?? null); };
  const move = (by: number) => write(String(Number(((typeof read === 'number' ? read : 0) + by).toFixed(6))));
  return (
    <Field {...field} fault={fault ?? own}>{(wiring, wrong) => (
      <div className={wrong ? 'box wrong' : 'box'}>
        <input {...wiring} type="text" data-unread={own === null ? undefined : true} inputMode={min !== undefined && min >= 0 ? 'decimal' : 'text'} autoComplete="off" value={text} disabled={disabled} onChange={(event) => write(event.target.value)} />
        {unit ? <span className="unit">{unit}</span> : null}
        {step ? <button type="button" className="step" aria-label={phrase('app.label-less', { label: field.label })} onClick={() => move(-step)}>−</button> : null}
        {step ? <button type="button" className="step" aria-label={phrase('app.label-more', { label: field.label })} onClick={() => move(step)}>+</button> : null}
      </div>
    )}</Field>
  );
}

export interface Option { value: string; label: string; disabled?: boolean }

/** `empty` is the line for nothing chosen; without it something is always chosen. */
/** Without `empty` something is always chosen: it is never optional. */
export function Select({ value, onChange, options, empty, disabled, required = empty === undefined, ...field }: FieldProps & { value: string; onChange: (value: string) => void; options: readonly Option[]; empty?: string; disabled?: boolean }) {
  return (
    <Field {...field} required={required}>{(wiring, wrong) => (
      <div className={wrong ? 'box wrong' : 'box'}>
        <select {...wiring} value={value} disabled={disabled} onChange={(event) => onChange(event.target.value)}>
          {empty === undefined ? null : <option value="">{empty}</option>}
          {options.map((option) => <option key={option.value} value={option.value} disabled={option.disabled}>{option.label}</option>)}
        </select>
      </div>
    )}</Field>
  );
}

/** A calendar day, `YYYY-MM-DD` or ''. The browser writes it its own way; the words beside it leave no doubt. */
export function DateField({ value, onChange, min, max, disabled, fault, ...field }: FieldProps & { value: string; onChange: (value: string) => void; min?: string; max?: string; disabled?: boolean }) {
  // Half a day has no value: without these words it would be taken for none.
  const [isHalf, setHalf] = useState(false);
  return (
    <Field {...field} fault={fault ?? (isHalf ? phrase('app.the-day-is-not-whole') : null)}>{(wiring, wrong) => (
      <div className={wrong ? 'box wrong' : 'box'}><input {...wiring} type="date" value={value} min={min} max={max} disabled={disabled} onBlur={(event) => setHalf(event.target.validity.badInput)} onChange={(event) => { setHalf(false); onChange(event.target.value); }} />{/^\d{4}-\d{2}-\d{2}$/.test(value) ? <span className="unit">{dayWords(value)}</span> : null}</div>
    )}</Field>
  );
}

export function CheckBox({ label, checked, onChange, help, disabled }: { label: ReactNode; checked: boolean; onChange: (checked: boolean) => void; help?: ReactNode; disabled?: boolean }) {
  const id = useId();
  return (
    <div className="field">
      <label className="tick"><input type="checkbox" checked={checked} disabled={disabled} aria-describedby={help ? id : undefined} onChange={(event) => onChange(event.target.checked)} /><span>{label}</span></label>
      {help ? <div className="help" id={id}>{help}</div> : null}
    </div>
  );
}

/** One of a few, as targets for a thumb. `value` null: nothing is chosen yet (never a default verdict). */
export function Choices<V extends string>({ label, name, help, fault, value, onChange, options }: FieldProps & { value: V | null; onChange: (value: V) => void; options: readonly { value: V; label: ReactNode }[] }) {
  const id = useId();
  const refused = useFault(name);
  const words = fault ?? refused;
  return (
    <fieldset className="field" aria-describedby={words ? `${id}-fault` : undefined}>
      <legend>{label}</legend>
      {help ? <div className="help">{help}</div> : null}
      <div className="choices">
        {options.map((option) => (
          <label key={option.value} className="choice"><input type="radio" name={id} checked={value === option.value} onChange={() => onChange(option.value)} /><span>{option.label}</span></label>
        ))}
      </div>
      {words ? <div className="fault" id={`${id}-fault`}>{words}</div> : null}
    </fieldset>
  );
}

/** Search as you type; the list is asked again a quarter of a second after the last key. */
export function SearchBox({ label, value, onChange, placeholder }: { label: string; value: string; onChange: (value: string) => void; placeholder?: string }) {
  const id = useId();
  const [text, setText] = useState(value);
  useEffect(() => setText(value), [value]);
  useEffect(() => {
    if (text === value) return undefined;
    const timer = setTimeout(() => onChange(text), 250);
    return () => clearTimeout(timer);
    // Runs on this one change only: the rest is read as it is then.
  }, [text]);
  return (
    <div className="search" role="search">
      <label className="unseen" htmlFor={id}>{label}</label>
      <div className="box"><input id={id} type="search" value={text} placeholder={placeholder ?? label} autoComplete="off" spellCheck={false} onChange={(event) => setText(event.target.value)} /></div>
    </div>
  );
}
