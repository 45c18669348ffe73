import type { SiteDuty, SiteStanding } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { countWords, dayShort, dayWords, momentWords } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { Button, Drawer, Empty, Loaded, Mark, Section, StandingMark, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useWindowBehind } from '../api/standing.js';
import { CheckBehind } from './check-behind.js';

/** A site's duties through time; a click on a window opens the checks behind it. */
export function SiteProof({ site }: { site: SiteStanding }) {
  const [open, setOpen] = useState<{ dutyId: string; n: number } | null>(null);
  const systems = useMemo(() => [...new Set(site.duties.map((duty) => duty.systemId))], [site]);
  const pauses = site.pauses.map(({ from, to, by }) => ({ from, to, by }));
  return (
    <Section title="Proof">
      {site.duties.length === 0 && site.knownOn ? <Empty title="No programme had been laid here by then">What was owed that day was not on record: it can’t be told.</Empty> : null}
      {site.duties.length === 0 && !site.knownOn ? <Empty title="Nothing is owed here" action={<Link className="button" to="/programmes">Lay a programme on its systems</Link>}>Without a programme nobody is due to prove this site: it can’t be told.</Empty> : null}
      {systems.map((systemId) => {
        const duties = site.duties.filter((duty) => duty.systemId === systemId);
        return (
          <div key={systemId} className="stack">
            <h3>{duties[0]!.systemName}</h3>
            <ProofStrip lanes={duties.map((duty) => ({ title: `${duty.title}: ${duty.subject}`, windows: duty.windows, pauses }))} from={site.stripFrom} to={site.stripTo} today={site.asOf} onPick={(lane, window) => setOpen({ dutyId: duties[lane]!.id, n: (window as SiteDuty['windows'][number]).n })} />
            <details><summary>The same in words</summary><Words duties={duties} onOpen={(dutyId, n) => setOpen({ dutyId, n })} /></details>
          </div>
        );
      })}
      {open ? <WindowDrawer {...open} zone={site.timeZone} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function Words({ duties, onOpen }: { duties: SiteDuty[]; onOpen: (dutyId: string, n: number) => void }) {
  return (
    <Table caption="Duties of this system" rows={duties} rowKey={(duty) => duty.id} columns={[
      { key: 'duty', title: 'Duty', cell: (duty) => <><Link to={`/duties/${duty.id}`}><strong>{duty.title}</strong></Link>: {duty.subject}<br /><span className="small quiet">{duty.regime}{duty.mandated ? '' : '; not mandated'}</span></> },
      { key: 'standing', title: 'Standing', cell: (duty) => <StandingMark standing={duty.standing} /> },
      { key: 'why', title: 'Why', cell: (duty) => duty.now?.why ?? '' },
      { key: 'window', title: 'Window', cell: (duty) => (duty.now ? <Button kind="bare" size="small" onClick={() => onOpen(duty.id, duty.now!.n)}>{dayShort(duty.now.opens)} to {dayShort(duty.now.lapses)}</Button> : '') },
    ]} />
  );
}

function WindowDrawer({ dutyId, n, zone, onClose }: { dutyId: string; n: number; zone: string; onClose: () => void }) {
  const behind = useWindowBehind(dutyId, n);
  const [check, setCheck] = useState<string | null>(null);
  return (
    <Drawer title="Behind this window" onClose={onClose}>
      <Loaded query={behind} what="the checks">{(shown) => (<>
        <p><strong>{shown.title}</strong>, {dayWords(shown.window.opens)} to {dayWords(shown.window.lapses)}. {shown.window.why}</p>
        {shown.window.metOn ? <Mark shape={shown.window.outcome === 'late' ? 'beyond' : 'standing'} tone={shown.window.outcome === 'late' ? 'warn' : 'good'}>met on {dayWords(shown.window.metOn)}{shown.window.lateDays > 0 ? `, ${countWords(shown.window.lateDays, 'day')} late` : ''}</Mark> : shown.window.outcome === 'missed' ? <Mark shape="bracketed" tone="bad">missed</Mark> : <Mark shape="empty">not met yet</Mark>}
        {shown.attribution ? <p className="note">Who could have prevented it: {shown.attribution.words}</p> : null}
        {shown.checks.length === 0 ? <Empty title="No check stands behind this window" /> : <Table caption="Checks of its time" rows={shown.checks} rowKey={(row) => row.checkId} columns={[
          { key: 'what', title: 'Check', cell: (row) => <Button kind="bare" size="small" onClick={() => setCheck(row.checkId)}>{row.checkKind.replaceAll('-', ' ')}, {dayShort(row.performedOn)}</Button> },
          { key: 'verdict', title: 'Verdict', cell: (row) => <VerdictMark verdict={row.verdict} /> },
          { key: 'counts', title: 'Counts', cell: (row) => row.words },
        ]} />}
        {check ? <CheckBehind checkId={check} zone={zone} /> : null}
      </>)}</Loaded>
    </Drawer>
  );
}

/** Visits and attempts of the site, newest first. */
export function SiteHistory({ site }: { site: SiteStanding }) {
  return (
    <Section title="Visits and attempts">
      {site.visits.length === 0 ? <Empty title="No visit yet" /> : <Table caption="Visits" rows={site.visits} rowKey={(visit) => visit.id} columns={[
        { key: 'day', title: 'Day', cell: (visit) => <Link to={`/visits/${visit.id}`}>{visit.day ? dayWords(visit.day) : 'no day yet'}</Link> },
        { key: 'title', title: 'Visit', cell: (visit) => visit.title }, { key: 'state', title: 'State', cell: (visit) => visit.state }, { key: 'who', title: 'Technician', cell: (visit) => visit.technician ?? '' },
        { key: 'checks', title: 'Checks', align: 'end', cell: (visit) => visit.checks },
      ]} />}
      {site.attempts.length > 0 ? <ul>{site.attempts.map((one) => <li key={one.id}>{momentWords(one.at, site.timeZone)}, {one.how.replace('-', ' ')}: {one.outcome.replace('-', ' ')}. {one.words}{one.proven ? '' : ' (without proof)'}</li>)}</ul> : null}
    </Section>
  );
}
