import en from './en.json' with { type: 'json' };

/**
 * The words of every screen, one catalogue file per language: en.json is the one the others are held against (catalogue.spec.ts).
 * The language is settled at the foot of this module, before any module that says something is evaluated; another choice loads the page anew.
 */
type Plural = { readonly one?: string; readonly few?: string; readonly many?: string; readonly other: string };
export type Key = keyof typeof en;
export type Catalogue = Readonly<Record<string, string | Plural>>;

/** The languages there are, as their speakers write their names; the catalogue of each is fetched only where it is used. */
export const LANGUAGES = { en: 'English', es: 'Español' } as const;
export type Language = keyof typeof LANGUAGES;
const FETCHED: { readonly [one in Exclude<Language, 'en'>]: () => Promise<{ default: Catalogue }> } = { es: () => import('./es.json') };

const KEPT = 'bellround.language';
const isLanguage = (one: string | null | undefined): one is Language => one != null && Object.hasOwn(LANGUAGES, one);

let current: Language = 'en';
let catalogue: Catalogue = en;
let plurals = new Intl.PluralRules('en');
let counts = new Intl.NumberFormat('en-GB');

export const language = (): Language => current;

/** As chosen on this device, else the first of the browser's languages that there is, else English. */
export function wantedLanguage(): Language {
  let kept: string | null = null;
  try { kept = localStorage.getItem(KEPT); } catch { /* storage is off */ }
  if (isLanguage(kept)) return kept;
  return navigator.languages.map((one) => one.slice(0, 2)).find(isLanguage) ?? 'en';
}

/** Speaks this language from now on. A catalogue that cannot be fetched leaves English. */
export async function speak(wanted: Language): Promise<void> {
  if (wanted !== 'en') {
    try { catalogue = (await FETCHED[wanted]()).default; } catch { return; }
    plurals = new Intl.PluralRules(wanted);
    counts = new Intl.NumberFormat(wanted);
  } else {
    catalogue = en;
    plurals = new Intl.PluralRules('en');
    counts = new Intl.NumberFormat('en-GB');
  }
  current = wanted;
  if (typeof document !== 'undefined') document.documentElement.lang = wanted;
}

/** Keeps the choice and loads the page anew: words of a language are read while the app's modules are. */
export function chooseLanguage(wanted: Language): void {
  try { localStorage.setItem(KEPT, wanted); } catch { /* storage is off: the browser's language holds */ }
  location.reload();
}

export type Values = Readonly<Record<string, unknown>>;

/**
 * The phrase of that key in the language of this device, `{name}` replaced by the value of that name. A phrase with forms
 * ("one", "other", ...: the categories of Unicode CLDR) is chosen by `n`, which is written with its thousands apart.
 */
export function phrase(key: Key, values?: Values): string {
  const found = catalogue[key] ?? en[key] as string | Plural;
  if (typeof found === 'string') return values ? filled(found, values) : found;
  const n = Number(values?.['n'] ?? 0);
  return filled(found[plurals.select(n) as keyof Plural] ?? found.other, { ...values, n: counts.format(n) });
}

function filled(text: string, values: Values): string {
  return text.replaceAll(/\{(\w+)\}/g, (whole, name: string) => (name in values ? String(values[name] ?? '') : whole));
}

// Whoever imports `phrase` waits for this, so that constants of a module may hold words. English waits for nothing.
const wanted = typeof document === 'undefined' ? 'en' : wantedLanguage();
if (wanted !== 'en') await speak(wanted);
