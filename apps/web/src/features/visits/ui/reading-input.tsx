import type { ReadingDefinition, ReadingValue } from '@bellround/acceptance';
import { Choices, DateField, NumberField, Select, TextField } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** The field for one reading, by its kind. */
export function ReadingInput({ reading, value, onChange }: { reading: ReadingDefinition; value: ReadingValue; onChange: (value: ReadingValue) => void }) {
  const field = { label: said(reading.label), name: `readings.${reading.key}`, required: reading.required };
  switch (reading.kind) {
    case 'number': return <NumberField {...field} unit={reading.unit} value={typeof value === 'number' ? value : null} onChange={onChange} {...(reading.min === undefined ? {} : { min: reading.min })} {...(reading.max === undefined ? {} : { max: reading.max })} {...(reading.step === undefined ? {} : { step: reading.step })} />;
    case 'yes-no': return <Choices<'yes' | 'no'> {...field} value={value === true ? 'yes' : value === false ? 'no' : null} onChange={(next) => onChange(next === 'yes')} options={[{ value: 'yes', label: phrase('visits.yes-2') }, { value: 'no', label: phrase('visits.no-2') }]} />;
    case 'choice': return <Select {...field} value={typeof value === 'string' ? value : ''} onChange={(next) => onChange(next || null)} empty={phrase('visits.choose')} options={(reading.choices ?? []).map((choice) => ({ value: choice.code, label: said(choice.words) }))} />;
    case 'date': return <DateField {...field} value={typeof value === 'string' ? value : ''} onChange={(next) => onChange(next || null)} />;
    case 'text': return <TextField {...field} value={typeof value === 'string' ? value : ''} onChange={(next) => onChange(next || null)} />;
  }
}
