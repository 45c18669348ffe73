import { type EntryCodeRow, type RevealedCode } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { serverNow } from '../../../shared/contact.js';
import { timeWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMe } from '../../../shared/session.js';
import { Button, ProblemBox } from '../../../shared/ui/index.js';
import { useNow } from '../../../shared/use-now.js';
import './entry-codes.css';
import { useEntryCodes, useRevealEntryCode, useVisitForCodes } from '../api/entry-codes.js';
import { phrase } from '../../../shared/language/index.js';

/** A code stays on the screen for so long; then it must be asked for again, which is another sight on record. */
const SHOWN_MS = 2 * 60_000;

/** On a technician's visit: its site's codes, each shown only when asked for and only in the visit's time. */
export function VisitCodes({ visitId }: { visitId: string }) {
  const me = useMe();
  const visit = useVisitForCodes(visitId).data;
  const isTechnician = me.role === 'technician';
  const codes = useEntryCodes(visit?.site.id ?? '', isTechnician && visit !== undefined).data;
  const rows = codes?.rows.filter((row) => row.forMe !== null) ?? [];
  if (!visit || rows.length === 0) return null;
  return <div className="stack">{rows.map((row) => <Code key={row.keyId} row={row} timeZone={visit.site.timeZone} />)}</div>;
}

function Code({ row, timeZone }: { row: EntryCodeRow; timeZone: string }) {
  const now = serverNow(useNow(10_000).getTime()).getTime();
  const [shown, setShown] = useState<RevealedCode | null>(null);
  const reveal = useRevealEntryCode();
  useEffect(() => {
    if (!shown) return undefined;
    const timer = setTimeout(() => setShown(null), SHOWN_MS);
    return () => clearTimeout(timer);
  }, [shown]);
  const { visitId, from, to } = row.forMe!;
  const isTime = now >= Date.parse(from) && now <= Date.parse(to);
  const see = () => reveal.mutate({ keyId: row.keyId, id: newId(), visitId }, { onSuccess: setShown });
  return (
    <section className="leaf stack" aria-label={phrase('identity.entry-code-label', { label: row.label })}>
      <div className="row"><strong>{row.label}</strong>{shown ? <output className="entry-code">{shown.code}</output> : null}</div>
      {reveal.error && !shown ? <ProblemBox problem={reveal.error} /> : null}
      {shown ? <div className="row"><Button onClick={() => setShown(null)}>{phrase('identity.hide-the-code')}</Button><span className="small quiet">{phrase('identity.your-sight-of-it-is-on-record')}</span></div>
        : isTime ? <div className="row"><Button busy={reveal.isPending ? phrase('identity.opening') : false} onClick={see}>{phrase('identity.show-the-code')}</Button><span className="small quiet">{phrase('identity.until-to-each-sight-is-recorded', { to: timeWords(to, timeZone) })}</span></div>
          : <p className="small quiet">{phrase('identity.its-code-is-shown-here-from-from', { from: timeWords(from, timeZone), to: timeWords(to, timeZone) })}</p>}
    </section>
  );
}
