import type { RoundStop } from '@bellround/contracts';
import { Link } from 'react-router';
import { clockWords, dayWords, minutesWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Empty, LinkButton, Loaded, Mark, Page, Section, Tag } from '../../../shared/ui/index.js';
import { useMyRound } from '../api/visits.js';
import './visits.css';
import { phrase } from '../../../shared/language/index.js';

/** A technician's stops: the next one first, then the rest of the day, then the days after. */
export function MyRoundScreen() {
  const me = useMe();
  const round = useMyRound(null, null);
  return (
    <Page title={phrase('visits.my-round')} slim>
      <Loaded query={round} what={phrase('visits.your-round')}>{({ technician, days }) => {
        if (!technician) return <Empty title={phrase('visits.you-are-not-entered-as-a-technician')}>{phrase('visits.an-owner-links-your-sign-in-to')}</Empty>;
        const all = days.flatMap((one) => one.stops);
        if (all.length === 0) return <Empty title={phrase('visits.no-stops-in-the-coming-week')}>{phrase('visits.the-dispatcher-publishes-the-week-your-rounds')}</Empty>;
        const next = all.find((stop) => stop.state === 'open') ?? all.find((stop) => stop.state === 'published');
        return (<>
          {next ? <Section title={next.state === 'open' ? phrase('visits.going-on-now') : phrase('visits.next-stop')}><Stop stop={next} isNext /></Section> : null}
          {days.filter((one) => one.stops.length > 0).map((one) => (
            <Section key={one.day} title={`${dayWords(one.day)}: ${phrase('count.stop', { n: one.stops.length })}`}>
              <ol className="round">{one.stops.map((stop) => <li key={stop.id}><Stop stop={stop} isNext={false} /></li>)}</ol>
            </Section>
          ))}
          <p className="small quiet">{phrase('visits.name-local-codes-and-licensed-practice-prevail', { name: me.company.name })}</p>
        </>);
      }}</Loaded>
    </Page>
  );
}

const ENDED: Record<string, string> = { closed: phrase('visits.closed'), stopped: phrase('visits.stopped-half-way'), 'no-access': phrase('visits.no-access') };

function Stop({ stop, isNext }: { stop: RoundStop; isNext: boolean }) {
  return (
    <article className={`stop leaf${isNext ? ' next' : ''}`}>
      <div className="row"><strong className="stop-time">{stop.startMin === null ? '' : clockWords(stop.startMin)}</strong>
        {ENDED[stop.state] ? <Mark shape={stop.state === 'closed' ? 'whole' : 'returning'} tone={stop.state === 'closed' ? 'good' : 'warn'}>{ENDED[stop.state]}</Mark> : stop.state === 'open' ? <Mark shape="half" tone="warn">{phrase('visits.started')}</Mark> : null}
        {stop.holdUntil ? <Tag>{phrase('visits.on-test')}</Tag> : null}</div>
      <h3><Link to={`/visits/${stop.id}`}>{stop.siteName}</Link></h3>
      <p>{stop.address}<br /><span className="small">{stop.title}; {minutesWords(stop.serviceMin)}{stop.travelMin ? phrase('visits.travelmin-of-travel-before', { travelMin: minutesWords(stop.travelMin) }) : ''}{stop.secondTechnicianName ? phrase('visits.together-with-secondtechnicianname', { secondTechnicianName: stop.secondTechnicianName }) : ''}</span></p>
      {stop.accessNotes ? <p className="note">{stop.accessNotes}</p> : null}
      {stop.needs.length > 0 ? <p className="small">{phrase('visits.needs-join', { join: stop.needs.join(', ') })}</p> : null}
      {stop.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{phrase('count.open-deficiency', { n: stop.openDeficiencies })}</Mark> : null}
      {isNext ? <LinkButton kind="do" size="big" fill to={`/visits/${stop.id}`}>{stop.state === 'open' ? phrase('visits.go-on-with-the-visit') : phrase('visits.open-the-visit')}</LinkButton> : null}
    </article>
  );
}
