import { OCCUPANCIES, STANDING_WORDS, STANDINGS, SYSTEM_KINDS, type Standing, type StandingList, routes } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { addressOf } from '../../../shared/client.js';
import { todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, CheckBox, DateField, LinkButton, SearchBox, Select, StandingMark, useToast } from '../../../shared/ui/index.js';
import type { StandingFilters } from '../api/standing.js';
import { phrase } from '../../../shared/language/index.js';
import { OCCUPANCY, SYSTEM_KIND } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

const KEYS = ['asOf', 'standing', 'search', 'clientId', 'occupancy', 'systemKind', 'broken'] as const;
type Key = (typeof KEYS)[number] | 'offset' | 'pages';

/** What is asked of the list stands in the address: it can be kept, sent and opened again. */
export function useStandingAddress() {
  const [params, setParams] = useSearchParams();
  const read = (key: Key) => params.get(key) ?? '';
  const standing = STANDINGS.find((one) => one === read('standing'));
  const filters: StandingFilters = {
    ...(read('asOf') ? { asOf: read('asOf') } : {}), ...(standing ? { standing } : {}), ...(read('search') ? { search: read('search') } : {}), ...(read('clientId') ? { clientId: read('clientId') } : {}),
    ...(read('occupancy') ? { occupancy: read('occupancy') } : {}), ...(read('systemKind') ? { systemKind: read('systemKind') } : {}), ...(read('broken') === 'yes' ? { broken: 'yes' as const } : {}),
  };
  const go = (change: Partial<Record<Key, string | null>>) => setParams((before) => {
    const next = new URLSearchParams(before);
    for (const [key, value] of Object.entries({ offset: null, ...change })) { if (!value) next.delete(key); else next.set(key, value); }
    return next;
  }, { replace: true, preventScrollReset: true });
  return { filters, go, isPaged: read('pages') === 'yes', offset: Math.max(0, Number(read('offset')) || 0), isFiltered: KEYS.some((key) => read(key) !== '') };
}
export type StandingAddress = ReturnType<typeof useStandingAddress>;

export function StandingFind({ address }: { address: StandingAddress }) {
  const today = todayIn(useMe().company.timeZone);
  const { filters, go } = address;
  return (
    <>
      <SearchBox label={phrase('standing.search-sites')} value={filters.search ?? ''} onChange={(search) => go({ search })} placeholder={phrase('standing.site-client-or-key')} />
      <DateField label={phrase('standing.as-of')} value={filters.asOf ?? today} max={today} onChange={(day) => go({ asOf: day === today ? null : day })} />
    </>
  );
}

/** Further filters, what can be done with the list, and the filter by client that a row has set. */
export function StandingFilterRow({ address, clientName }: { address: StandingAddress; clientName: string | null }) {
  const say = useToast();
  const { filters, go, isFiltered, isPaged } = address;
  const copy = () => { void navigator.clipboard.writeText(window.location.href).then(() => say(phrase('standing.address-copied-it-opens-this-list-filtered')), () => say(phrase('standing.this-browser-copies-nothing-here-the-address', { href: window.location.href }))); };
  const { asOf, standing, clientId, occupancy, systemKind, broken, search } = filters;
  return (
    <details className="stack no-print" open={Boolean(clientId || occupancy || systemKind || broken) || undefined}>
      <summary>{phrase('standing.narrow-share-print-or-export-this-list')}</summary>
      <div className="row end">
        <Select label={phrase('standing.occupancy')} value={occupancy ?? ''} onChange={(next) => go({ occupancy: next })} empty={phrase('standing.any')} options={OCCUPANCIES.map((one) => ({ value: one, label: OCCUPANCY[one] }))} />
        <Select label={phrase('standing.kind-of-system')} value={systemKind ?? ''} onChange={(next) => go({ systemKind: next })} empty={phrase('standing.any')} options={SYSTEM_KINDS.map((one) => ({ value: one, label: SYSTEM_KIND[one] }))} />
        <CheckBox label={phrase('standing.only-with-open-deficiencies')} checked={broken === 'yes'} onChange={(checked) => go({ broken: checked ? 'yes' : null })} />
      </div>
      <div className="row">
        {clientId ? <Button size="small" onClick={() => go({ clientId: null })}>{phrase('standing.only-value-show-all-clients', { value: clientName ?? phrase('standing.one-client') })}</Button> : null}
        <Button size="small" onClick={copy}>{phrase('standing.copy-the-address-of-this-list')}</Button>
        <Button size="small" onClick={() => go({ pages: isPaged ? null : 'yes' })}>{isPaged ? phrase('standing.scroll-the-whole-list') : phrase('standing.show-pages-of-60-to-print')}</Button>
        <a className="button small" href={addressOf(routes.standingCsv, { ...(asOf ? { asOf } : {}), ...(standing ? { standing } : {}), ...(clientId ? { clientId } : {}), ...(occupancy ? { occupancy } : {}), ...(systemKind ? { systemKind } : {}), ...(broken ? { broken } : {}), ...(search ? { search } : {}) })} download>{phrase('standing.export-as-csv')}</a>
        <LinkButton size="small" to="/overdue">{phrase('standing.overdue-duties')}</LinkButton>
        {isFiltered ? <Button size="small" kind="bare" onClick={() => go({ asOf: null, standing: null, search: null, clientId: null, occupancy: null, systemKind: null, broken: null })}>{phrase('standing.show-everything-today')}</Button> : null}
      </div>
    </details>
  );
}

export function StandingCounts({ counts, chosen, onChoose }: { counts: StandingList['counts']; chosen: Standing | null; onChoose: (standing: Standing) => void }) {
  const of: Record<Standing, number> = { lapsed: counts.lapsed, 'cant-tell': counts.cantTell, late: counts.late, open: counts.open, proven: counts.proven, 'not-owed': counts.notOwed };
  return (
    <div className="row" role="group" aria-label={phrase('standing.sites-by-standing-each-is-a-filter')}>
      {STANDINGS.map((one) => (
        <button key={one} type="button" className={`button${chosen === one ? ' chosen' : ''}`} aria-pressed={chosen === one} title={said(STANDING_WORDS[one].means)} onClick={() => onChoose(one)}>
          <StandingMark standing={one} word={<><strong>{of[one]}</strong> {said(STANDING_WORDS[one].title).toLowerCase()}</>} />
        </button>
      ))}
    </div>
  );
}
