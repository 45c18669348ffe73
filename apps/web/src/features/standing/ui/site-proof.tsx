import type { SiteDuty, SiteStanding } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { dayShort, dayWords, momentWords } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { Button, Drawer, Empty, Loaded, Mark, Section, StandingMark, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useWindowBehind } from '../api/standing.js';
import { CheckBehind } from './check-behind.js';
import { phrase } from '../../../shared/language/index.js';
import { ATTEMPT_HOW, ATTEMPT_OUTCOME, VISIT_STATE, wordOf } from '../../../shared/words.js';
import { checkWord } from '../../../shared/check-words.js';
import { said } from '../../../shared/language/said.js';

/** A site's duties through time; a click on a window opens the checks behind it. */
export function SiteProof({ site }: { site: SiteStanding }) {
  const [open, setOpen] = useState<{ dutyId: string; n: number } | null>(null);
  const systems = useMemo(() => [...new Set(site.duties.map((duty) => duty.systemId))], [site]);
  const pauses = site.pauses.map(({ from, to, by }) => ({ from, to, by }));
  return (
    <Section title={phrase('standing.proof')}>
      {site.duties.length === 0 && site.knownOn ? <Empty title={phrase('standing.no-programme-had-been-laid-here-by')}>{phrase('standing.what-was-owed-that-day-was-not')}</Empty> : null}
      {site.duties.length === 0 && !site.knownOn ? <Empty title={phrase('standing.nothing-is-owed-here')} action={<Link className="button" to="/programmes">{phrase('standing.lay-a-programme-on-its-systems')}</Link>}>{phrase('standing.without-a-programme-nobody-is-due-to')}</Empty> : null}
      {systems.map((systemId) => {
        const duties = site.duties.filter((duty) => duty.systemId === systemId);
        return (
          <div key={systemId} className="stack">
            <h3>{duties[0]!.systemName}</h3>
            <ProofStrip lanes={duties.map((duty) => ({ title: `${said(duty.title)}: ${duty.subject}`, windows: duty.windows, pauses }))} from={site.stripFrom} to={site.stripTo} today={site.asOf} onPick={(lane, window) => setOpen({ dutyId: duties[lane]!.id, n: (window as SiteDuty['windows'][number]).n })} />
            <details><summary>{phrase('standing.the-same-in-words')}</summary><Words duties={duties} onOpen={(dutyId, n) => setOpen({ dutyId, n })} /></details>
          </div>
        );
      })}
      {open ? <WindowDrawer {...open} zone={site.timeZone} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function Words({ duties, onOpen }: { duties: SiteDuty[]; onOpen: (dutyId: string, n: number) => void }) {
  return (
    <Table caption={phrase('standing.duties-of-this-system')} rows={duties} rowKey={(duty) => duty.id} columns={[
      { key: 'duty', title: phrase('standing.duty'), cell: (duty) => <><Link to={`/duties/${duty.id}`}><strong>{said(duty.title)}</strong></Link>: {duty.subject}<br /><span className="small quiet">{duty.regime}{duty.mandated ? '' : phrase('standing.not-mandated')}</span></> },
      { key: 'standing', title: phrase('standing.standing'), cell: (duty) => <StandingMark standing={duty.standing} /> },
      { key: 'why', title: phrase('standing.why'), cell: (duty) => said(duty.now?.why ?? '') },
      { key: 'window', title: phrase('standing.window'), cell: (duty) => (duty.now ? <Button kind="bare" size="small" onClick={() => onOpen(duty.id, duty.now!.n)}>{phrase('standing.opens-to-lapses', { opens: dayShort(duty.now.opens), lapses: dayShort(duty.now.lapses) })}</Button> : '') },
    ]} />
  );
}

function WindowDrawer({ dutyId, n, zone, onClose }: { dutyId: string; n: number; zone: string; onClose: () => void }) {
  const behind = useWindowBehind(dutyId, n);
  const [check, setCheck] = useState<string | null>(null);
  return (
    <Drawer title={phrase('standing.behind-this-window')} onClose={onClose}>
      <Loaded query={behind} what={phrase('standing.the-checks')}>{(shown) => (<>
        <p><strong>{said(shown.title)}</strong>{phrase('standing.opens-to-lapses-why', { opens: dayWords(shown.window.opens), lapses: dayWords(shown.window.lapses), why: said(shown.window.why) })}</p>
        {shown.window.metOn ? <Mark shape={shown.window.outcome === 'late' ? 'beyond' : 'standing'} tone={shown.window.outcome === 'late' ? 'warn' : 'good'}>{phrase('standing.met-on-meton-value', { metOn: dayWords(shown.window.metOn), value: shown.window.lateDays > 0 ? phrase('standing.latedays-late-2', { lateDays: phrase('count.day', { n: shown.window.lateDays }) }) : '' })}</Mark> : shown.window.outcome === 'missed' ? <Mark shape="bracketed" tone="bad">{phrase('standing.missed-2')}</Mark> : <Mark shape="empty">{phrase('standing.not-met-yet')}</Mark>}
        {shown.attribution ? <p className="note">{phrase('standing.who-could-have-prevented-it-words', { words: said(shown.attribution.words) })}</p> : null}
        {shown.checks.length === 0 ? <Empty title={phrase('standing.no-check-stands-behind-this-window')} /> : <Table caption={phrase('standing.checks-of-its-time')} rows={shown.checks} rowKey={(row) => row.checkId} columns={[
          { key: 'what', title: phrase('standing.check'), cell: (row) => <Button kind="bare" size="small" onClick={() => setCheck(row.checkId)}>{checkWord(row.checkKind)}, {dayShort(row.performedOn)}</Button> },
          { key: 'verdict', title: phrase('standing.verdict'), cell: (row) => <VerdictMark verdict={row.verdict} /> },
          { key: 'counts', title: phrase('standing.counts'), cell: (row) => said(row.words) },
        ]} />}
        {check ? <CheckBehind checkId={check} zone={zone} /> : null}
      </>)}</Loaded>
    </Drawer>
  );
}

/** Visits and attempts of the site, newest first. */
export function SiteHistory({ site }: { site: SiteStanding }) {
  return (
    <Section title={phrase('standing.visits-and-attempts')}>
      {site.visits.length === 0 ? <Empty title={phrase('standing.no-visit-yet')} /> : <Table caption={phrase('standing.visits')} rows={site.visits} rowKey={(visit) => visit.id} columns={[
        { key: 'day', title: phrase('standing.day'), cell: (visit) => <Link to={`/visits/${visit.id}`}>{visit.day ? dayWords(visit.day) : phrase('standing.no-day-yet')}</Link> },
        { key: 'title', title: phrase('standing.visit'), cell: (visit) => visit.title }, { key: 'state', title: phrase('standing.state'), cell: (visit) => wordOf(VISIT_STATE, visit.state) }, { key: 'who', title: phrase('standing.technician'), cell: (visit) => visit.technician ?? '' },
        { key: 'checks', title: phrase('standing.checks'), align: 'end', cell: (visit) => visit.checks },
      ]} />}
      {site.attempts.length > 0 ? <ul>{site.attempts.map((one) => <li key={one.id}>{momentWords(one.at, site.timeZone)}, {wordOf(ATTEMPT_HOW, one.how)}: {wordOf(ATTEMPT_OUTCOME, one.outcome)}. {one.words}{one.proven ? '' : phrase('standing.without-proof')}</li>)}</ul> : null}
    </Section>
  );
}
