import type { RoundStop } from '@bellround/contracts';
import { Link } from 'react-router';
import { clockWords, countWords, dayWords, minutesWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Empty, LinkButton, Loaded, Mark, Page, Section, Tag } from '../../../shared/ui/index.js';
import { useMyRound } from '../api/visits.js';
import './visits.css';

/** A technician's stops: the next one first, then the rest of the day, then the days after. */
export function MyRoundScreen() {
  const me = useMe();
  const round = useMyRound(null, null);
  return (
    <Page title="My round" slim>
      <Loaded query={round} what="your round">{({ technician, days }) => {
        if (!technician) return <Empty title="You are not entered as a technician">An owner links your sign-in to a technician under Settings.</Empty>;
        const all = days.flatMap((one) => one.stops);
        if (all.length === 0) return <Empty title="No stops in the coming week">The dispatcher publishes the week; your rounds appear here by themselves.</Empty>;
        const next = all.find((stop) => stop.state === 'open') ?? all.find((stop) => stop.state === 'published');
        return (<>
          {next ? <Section title={next.state === 'open' ? 'Going on now' : 'Next stop'}><Stop stop={next} isNext /></Section> : null}
          {days.filter((one) => one.stops.length > 0).map((one) => (
            <Section key={one.day} title={`${dayWords(one.day)}: ${countWords(one.stops.length, 'stop')}`}>
              <ol className="round">{one.stops.map((stop) => <li key={stop.id}><Stop stop={stop} isNext={false} /></li>)}</ol>
            </Section>
          ))}
          <p className="small quiet">{me.company.name}. Local codes and licensed practice prevail.</p>
        </>);
      }}</Loaded>
    </Page>
  );
}

const ENDED: Record<string, string> = { closed: 'closed', stopped: 'stopped half-way', 'no-access': 'no access' };

function Stop({ stop, isNext }: { stop: RoundStop; isNext: boolean }) {
  return (
    <article className={`stop leaf${isNext ? ' next' : ''}`}>
      <div className="row"><strong className="stop-time">{stop.startMin === null ? '' : clockWords(stop.startMin)}</strong>
        {ENDED[stop.state] ? <Mark shape={stop.state === 'closed' ? 'whole' : 'returning'} tone={stop.state === 'closed' ? 'good' : 'warn'}>{ENDED[stop.state]}</Mark> : stop.state === 'open' ? <Mark shape="half" tone="warn">started</Mark> : null}
        {stop.holdUntil ? <Tag>on test</Tag> : null}</div>
      <h3><Link to={`/visits/${stop.id}`}>{stop.siteName}</Link></h3>
      <p>{stop.address}<br /><span className="small">{stop.title}; {minutesWords(stop.serviceMin)}{stop.travelMin ? `, ${minutesWords(stop.travelMin)} of travel before` : ''}{stop.secondTechnicianName ? `, together with ${stop.secondTechnicianName}` : ''}</span></p>
      {stop.accessNotes ? <p className="note">{stop.accessNotes}</p> : null}
      {stop.needs.length > 0 ? <p className="small">Needs: {stop.needs.join(', ')}</p> : null}
      {stop.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{countWords(stop.openDeficiencies, 'open deficiency', 'open deficiencies')}</Mark> : null}
      {isNext ? <LinkButton kind="do" size="big" fill to={`/visits/${stop.id}`}>{stop.state === 'open' ? 'Go on with the visit' : 'Open the visit'}</LinkButton> : null}
    </article>
  );
}
