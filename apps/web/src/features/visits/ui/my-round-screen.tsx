import { type RoundChange, type RoundStop, routes } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { clockWords, dayShort, dayWords, minutesWords, momentWords, plainWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, LinkButton, Loaded, Mark, Page, Section, Tag } from '../../../shared/ui/index.js';
import { useMyRound } from '../api/visits.js';
import { enqueue, useOutbox } from '../../../shared/device-outbox.js';
import './visits.css';
import { phrase } from '../../../shared/language/index.js';

/** A technician's stops: the next one first, then the rest of the day, then the days after. */
export function MyRoundScreen() {
  const me = useMe();
  const round = useMyRound(null, null);
  return (
    <Page title={phrase('visits.my-round')} slim>
      <Loaded query={round} what={phrase('visits.your-round')}>{({ technician, changes, days }) => {
        if (!technician) return <Empty title={phrase('visits.you-are-not-entered-as-a-technician')}>{phrase('visits.an-owner-links-your-sign-in-to')}</Empty>;
        const all = days.flatMap((one) => one.stops);
        const news = <Changes changes={changes} zone={technician.timeZone} />;
        if (all.length === 0) return <>{news}<Empty title={phrase('visits.no-stops-in-the-coming-week')}>{phrase('visits.the-dispatcher-publishes-the-week-your-rounds')}</Empty></>;
        const next = all.find((stop) => stop.state === 'open') ?? all.find((stop) => stop.state === 'published');
        return (<>
          {news}
          {next ? <Section title={next.state === 'open' ? phrase('visits.going-on-now') : phrase('visits.next-stop')}><Stop stop={next} isNext /></Section> : null}
          {days.filter((one) => one.stops.length > 0).map((one) => (
            <Section key={one.day} title={`${dayWords(one.day)}: ${phrase('count.stop', { n: one.stops.length })}`}>
              <ol className="round">{one.stops.map((stop) => <li key={`${stop.id} ${stop.part}`}><Stop stop={stop} isNext={false} /></li>)}</ol>
            </Section>
          ))}
          <p className="small quiet">{phrase('visits.name-local-codes-and-licensed-practice-prevail', { name: me.company.name })}</p>
        </>);
      }}</Loaded>
    </Page>
  );
}

/** What of its visit a stop is: a part of it, or its key. */
function partWords(part: string): string {
  const words: Record<string, string> = { silent: phrase('visits.silent-part'), sounding: phrase('visits.sounding-part'), collect: phrase('visits.collect-the-key'), return: phrase('visits.return-the-key') };
  return part.split('-').map((one) => words[one] ?? one).join(', ');
}

/** What was published since the technician last said so: what came, went and moved. It stays until it was seen, also without a network. */
function Changes({ changes, zone }: { changes: readonly RoundChange[]; zone: string }) {
  const outbox = useOutbox();
  const waiting = new Set(outbox.entries.filter((entry) => entry.route === routes.seeRound.name).flatMap((entry) => (entry.input as { publicationIds: string[] }).publicationIds));
  const [said, setSaid] = useState<ReadonlySet<string>>(new Set());
  const open = changes.filter((one) => !said.has(one.publicationId) && !waiting.has(one.publicationId));
  if (open.length === 0) return null;
  const see = () => {
    const publicationIds = open.map((one) => one.publicationId);
    setSaid(new Set([...said, ...publicationIds]));
    void enqueue(routes.seeRound, { publicationIds }, { title: phrase('visits.changes-of-the-round-seen'), lane: 'my-round' });
  };
  const at = (spot: RoundChange['lines'][number]['was']) => (spot === null ? '' : `${dayShort(spot.day)} ${clockWords(spot.startMin)}`);
  const words = (line: RoundChange['lines'][number]) => (line.kind === 'moved' ? phrase('visits.sitename-now-was', { siteName: line.siteName, now: at(line.now), was: at(line.was) })
    : line.kind === 'came' ? (line.was ? phrase('visits.sitename-now-taken-over-from', { siteName: line.siteName, now: at(line.now), withName: line.was.withName }) : phrase('visits.sitename-new-now', { siteName: line.siteName, now: at(line.now) }))
      : line.now ? phrase('visits.sitename-not-yours-goes', { siteName: line.siteName, was: at(line.was), withName: line.now.withName }) : phrase('visits.sitename-not-yours', { siteName: line.siteName, was: at(line.was) }));
  return (
    <Section title={phrase('visits.your-round-has-changed')}>
      <div className="note" role="status">
        {open.map((one) => (<div key={one.publicationId}>
          <p className="small quiet">{phrase('visits.published-at-by', { at: momentWords(one.at, zone), by: one.byName })}</p>
          {one.first ? <p>{phrase('visits.your-rounds-are-published', { n: one.lines.length })}</p> : <ul>{one.lines.map((line) => <li key={`${line.visitId} ${line.siteName}`}>{words(line)}</li>)}</ul>}
        </div>))}
      </div>
      <Button kind="do" size="big" fill onClick={see}>{phrase('visits.i-have-seen-it')}</Button>
    </Section>
  );
}

const ENDED: Record<string, string> = { closed: phrase('visits.closed'), stopped: phrase('visits.stopped-half-way'), 'no-access': phrase('visits.no-access') };

function Stop({ stop, isNext }: { stop: RoundStop; isNext: boolean }) {
  return (
    <article className={`stop leaf${isNext ? ' next' : ''}`}>
      <div className="row"><strong className="stop-time">{stop.startMin === null ? '' : clockWords(stop.startMin)}</strong>
        {ENDED[stop.state] ? <Mark shape={stop.state === 'closed' ? 'whole' : 'returning'} tone={stop.state === 'closed' ? 'good' : 'warn'}>{ENDED[stop.state]}</Mark> : stop.state === 'open' ? <Mark shape="half" tone="warn">{phrase('visits.started')}</Mark> : null}
        {stop.holdUntil ? <Tag>{phrase('visits.on-test')}</Tag> : null}</div>
      <h3><Link to={`/visits/${stop.id}`}>{stop.siteName}</Link>{stop.part === '' ? null : <> <Tag>{partWords(stop.part)}</Tag></>}</h3>
      <p>{stop.address}<br /><span className="small">{stop.title}; {minutesWords(stop.serviceMin)}{stop.travelMin ? phrase('visits.travelmin-of-travel-before', { travelMin: minutesWords(stop.travelMin) }) : ''}{stop.secondTechnicianName ? phrase('visits.together-with-secondtechnicianname', { secondTechnicianName: stop.secondTechnicianName }) : ''}</span></p>
      {stop.accessNotes ? <p className="note">{stop.accessNotes}</p> : null}
      {stop.needs.length > 0 ? <p className="small">{phrase('visits.needs-join', { join: plainWords(stop.needs.join('; ')) })}</p> : null}
      {stop.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{phrase('count.open-deficiency', { n: stop.openDeficiencies })}</Mark> : null}
      {isNext ? <LinkButton kind="do" size="big" fill to={`/visits/${stop.id}`}>{stop.state === 'open' ? phrase('visits.go-on-with-the-visit') : phrase('visits.open-the-visit')}</LinkButton> : null}
    </article>
  );
}
