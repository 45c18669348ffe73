import { useState } from 'react';
import { clockWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, DateField, Form, NumberField, TextField, useToast } from '../../../shared/ui/index.js';
import { useAgreeDate } from '../api/access.js';
import { phrase } from '../../../shared/language/index.js';

const minutes = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

/** What was agreed with the client: it binds every later plan, and replaces what was agreed before. */
export function AgreeForm({ visitId, day: first, startMin, name = '', onDone }: { visitId: string; day: string; startMin: number; name?: string; onDone: () => void }) {
  const [day, setDay] = useState(first);
  const [from, setFrom] = useState(clockWords(Math.max(0, Math.min(1380, startMin - 30))));
  const [to, setTo] = useState(clockWords(Math.min(1439, startMin + 60)));
  const [madeTo, setMadeTo] = useState(name);
  const [words, setWords] = useState('');
  const [priceMin, setPrice] = useState<number | null>(null);
  const [id] = useState(() => newId());
  const toast = useToast();
  const agree = useAgreeDate(() => { toast(phrase('planning.kept-later-plans-hold-to-it')); onDone(); });
  return (
    <Form problem={agree.error} onSubmit={() => agree.mutate({ visitId, id, day, fromMin: minutes(from), toMin: minutes(to), madeTo, words, priceMin })}>
      <DateField label={phrase('planning.day')} name="day" value={day} onChange={setDay} required />
      <TextField label={phrase('planning.start-not-before')} name="fromMin" type="time" value={from} onChange={setFrom} required />
      <TextField label={phrase('planning.start-not-after')} name="toMin" type="time" value={to} onChange={setTo} required />
      <TextField label={phrase('planning.agreed-with')} name="madeTo" value={madeTo} onChange={setMadeTo} required />
      <TextField label={phrase('planning.in-their-words')} name="words" value={words} onChange={setWords} />
      <NumberField label={phrase('planning.may-be-broken-at')} name="priceMin" unit={phrase('planning.min-of-driving')} min={0} max={100000} value={priceMin} onChange={setPrice} help={phrase('planning.empty-hard-no-plan-breaks-it')} />
      <Button type="submit" busy={agree.isPending} disabled={day === '' || from === '' || to === '' || madeTo.trim().length < 2}>{phrase('planning.keep-what-was-agreed')}</Button>
    </Form>
  );
}
