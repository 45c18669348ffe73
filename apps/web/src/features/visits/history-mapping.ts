import type { HistoryMapping } from '@bellround/contracts';
import { phrase } from '../../shared/language/index.js';

export const MAPPED = ['account', 'receivedAt', 'time', 'code', 'zone', 'text', 'path', 'qualifier', 'area', 'receiver'] as const;
export type Mapped = (typeof MAPPED)[number];
export type MappingDraft = Record<Mapped, string> & { dateForm: HistoryMapping['dateForm']; timeZone: string };

export const FIELD_WORDS: Record<Mapped, string> = {
  account: phrase('visits.account'), receivedAt: phrase('visits.date-and-time-received'), time: phrase('visits.time-when-it-stands-apart'), code: phrase('visits.code'), zone: phrase('visits.zone'), text: phrase('visits.text'), path: phrase('visits.path'), qualifier: phrase('visits.new-or-restore'), area: phrase('visits.area'), receiver: phrase('visits.receiver'),
};
const GUESSES: Record<Mapped, RegExp> = {
  account: /acc(oun)?t|subscriber|^id$/i, receivedAt: /received|date|when|stamp/i, time: /^(time|hour)$/i, code: /code|event$/i, zone: /zone|point|^zn/i, text: /text|descr|name|message/i, path: /path|line|route/i, qualifier: /qualif|restore|state/i, area: /area|partition|group/i, receiver: /receiver/i,
};

/** Column names of a pasted history: its first line, split as the reader splits it. */
export function columnsOf(text: string): string[] {
  const line = text.replace(/^\uFEFF/, '').split(/[\r\n]/, 1)[0] ?? '';
  const delimiter = [',', ';', '\t'].reduce((best, one) => (line.split(one).length > line.split(best).length ? one : best), ',');
  return line.split(delimiter).map((name) => name.trim().replace(/^"|"$/g, '')).filter((name) => name !== '');
}

/** A first proposal: the kept mapping where its columns are there, else by the columns' names. Every field stays to be chosen by a person. */
export function guessMapping(text: string, timeZone: string, kept: HistoryMapping | null): MappingDraft {
  const columns = columnsOf(text);
  const used = new Set<string>();
  const pick = (field: Mapped): string => {
    const before = kept?.[field];
    const found = before && columns.includes(before) ? before : columns.find((name) => !used.has(name) && GUESSES[field].test(name)) ?? '';
    if (found) used.add(found);
    return found;
  };
  const fields = Object.fromEntries(MAPPED.map((field) => [field, pick(field)])) as Record<Mapped, string>;
  const receivedAt = fields.receivedAt || columns.find((name) => /time/i.test(name)) || '';
  const sample = text.split(/\r?\n/)[1] ?? '';
  const dateForm = kept?.dateForm ?? (/\d{1,2}\.\d{1,2}\.\d{4}/.test(sample) ? 'dd.mm.yyyy' : /\d{1,2}\/\d{1,2}\/\d{4}/.test(sample) ? 'dd/mm/yyyy' : 'iso');
  return { ...fields, receivedAt, time: fields.time === receivedAt ? '' : fields.time, dateForm, timeZone: kept?.timeZone ?? timeZone };
}

/** The mapping as it is sent: fields that no column holds are left out. */
export function mappingOf(draft: MappingDraft): HistoryMapping {
  const fields = Object.fromEntries(MAPPED.filter((field) => draft[field] !== '').map((field) => [field, draft[field]]));
  return { account: draft.account, receivedAt: draft.receivedAt, ...fields, dateForm: draft.dateForm, timeZone: draft.timeZone };
}
