import { AUDITOR_DAYS_MOST, AUDITOR_SITES_MOST } from '@bellround/contracts';
import { useState } from 'react';
import { plusDays, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, DateField, Drawer, Empty, Form, Loaded, SearchBox, TextField } from '../../../shared/ui/index.js';
import { useOpenAuditorLink, useSitesToName } from '../api/auditing.js';
import { phrase } from '../../../shared/language/index.js';

interface Named { id: string; name: string }
const SHOWN = 20;

/** Names the sites, the person and the last day; the address itself is shown once. */
export function MakeAddress({ onClose }: { onClose: () => void }) {
  const today = todayIn(useMe().company.timeZone);
  const [forWhom, setForWhom] = useState('');
  const [lastDay, setLastDay] = useState(plusDays(today, 30));
  const [sites, setSites] = useState<readonly Named[]>([]);
  const [url, setUrl] = useState<string | null>(null);
  const make = useOpenAuditorLink(({ url: made }) => setUrl(made));
  const own = { ...(forWhom.trim().length < 2 ? { forWhom: phrase('auditing.must-name-the-person-or-office-it') } : {}), ...(sites.length === 0 ? { siteIds: phrase('auditing.must-name-at-least-one-site') } : {}) };
  const [isTried, setTried] = useState(false);
  if (url !== null) return <Made url={url.startsWith('/') ? window.location.origin + url : url} onClose={onClose} />;
  const submit = () => { setTried(true); if (Object.keys(own).length === 0) make.mutate({ forWhom: forWhom.trim(), siteIds: sites.map((site) => site.id), lastDay }); };
  return (
    <Drawer title={phrase('auditing.make-an-address-for-an-auditor')} onClose={onClose}>
      <Form problem={make.error} onSubmit={submit}>
        <TextField label={phrase('auditing.for-whom')} name="forWhom" required value={forWhom} onChange={setForWhom} maxLength={120} help={phrase('auditing.person-or-office-it-stands-on-the')} fault={isTried ? own.forWhom ?? null : null} />
        <DateField label={phrase('auditing.last-day')} name="lastDay" required value={lastDay} min={today} max={plusDays(today, AUDITOR_DAYS_MOST)} onChange={setLastDay} help={phrase('auditing.it-ends-with-this-day-at-most', { AUDITOR_DAYS_MOST })} />
        <ChooseSites sites={sites} onChange={setSites} fault={isTried ? own.siteIds ?? null : null} />
        <div className="row"><Button kind="do" type="submit" busy={make.isPending}>{phrase('auditing.make-the-address')}</Button></div>
      </Form>
    </Drawer>
  );
}

function ChooseSites({ sites, onChange, fault }: { sites: readonly Named[]; onChange: (sites: readonly Named[]) => void; fault: string | null }) {
  const [search, setSearch] = useState('');
  const found = useSitesToName(search);
  const chosen = new Set(sites.map((site) => site.id));
  const add = (more: readonly Named[]) => onChange([...sites, ...more.filter((one) => !chosen.has(one.id))].slice(0, AUDITOR_SITES_MOST));
  return (
    <fieldset className="field" onKeyDown={(event) => { if (event.key === 'Enter' && event.target instanceof HTMLInputElement) event.preventDefault(); }}>
      <legend>{phrase('auditing.sites-it-opens-sites', { sites: phrase('count.site', { n: sites.length }) })}</legend>
      {fault ? <div className="fault">{fault}</div> : null}
      {sites.length > 0 ? <ul className="stack">{sites.slice(0, 50).map((site) => <li key={site.id} className="row between"><span>{site.name}</span><Button size="small" onClick={() => onChange(sites.filter((one) => one.id !== site.id))} aria-label={phrase('auditing.take-away-name', { name: site.name })}>{phrase('auditing.take-away')}</Button></li>)}{sites.length > 50 ? <li className="quiet">{phrase('auditing.and-value-more', { value: sites.length - 50 })}</li> : null}</ul> : null}
      <SearchBox label={phrase('auditing.search-sites-to-name')} value={search} onChange={setSearch} placeholder={phrase('auditing.site-client-key-or-account')} />
      {search.length < 2 ? <p className="small quiet">{phrase('auditing.type-two-letters-or-more')}</p> : <Loaded query={found} what={phrase('auditing.the-sites')}>{({ rows, total }) => (total === 0 ? <Empty title={phrase('auditing.no-site-matches')} /> : <>
        <div className="row"><Button size="small" onClick={() => add(rows.map(({ id, name }) => ({ id, name })))}>{phrase('auditing.name-all-rows', { rows: rows.length })}</Button>{total > rows.length ? <span className="small quiet">{phrase('auditing.the-first-rows-of-total', { rows: rows.length, total })}</span> : null}</div>
        <ul className="stack">{rows.slice(0, SHOWN).map((row) => <li key={row.id} className="row between"><span>{row.name}<br /><span className="small quiet">{row.clientName}, {row.address}</span></span>{chosen.has(row.id) ? <span className="quiet">{phrase('auditing.named')}</span> : <Button size="small" onClick={() => add([{ id: row.id, name: row.name }])} aria-label={phrase('auditing.name-it-name', { name: row.name })}>{phrase('auditing.name-it')}</Button>}</li>)}</ul>
      </>)}</Loaded>}
    </fieldset>
  );
}

function Made({ url, onClose }: { url: string; onClose: () => void }) {
  const [isCopied, setCopied] = useState(false);
  return (
    <Drawer title={phrase('auditing.the-address-shown-once')} onClose={onClose} foot={<Button onClick={onClose}>{phrase('auditing.done')}</Button>}>
      <p>{phrase('auditing.whoever-has-it-can-read-the-named')}</p>
      <p className="leaf"><code>{url}</code></p>
      <div className="row"><Button kind="do" onClick={() => { void navigator.clipboard.writeText(url).then(() => setCopied(true), () => setCopied(false)); }}>{phrase('auditing.copy-the-address')}</Button><span role="status">{isCopied ? phrase('auditing.copied') : ''}</span></div>
    </Drawer>
  );
}
