import { type LabelPlace, LabelKind, type VisitRow } from '@bellround/contracts';
import { Link, Navigate, useParams } from 'react-router';
import { clockWords, dayWords, minutesWords } from '../../../shared/format.js';
import { Empty, Facts, LinkButton, Loaded, Mark, Page, Section } from '../../../shared/ui/index.js';
import { useLabelPlace } from '../api/labels.js';
import { phrase } from '../../../shared/language/index.js';
import { DEVICE, VISIT_STATE, wordOf } from '../../../shared/words.js';

/** Where a scanned label leads: the one visit there, or the choice; a device is told first, since it hangs where one stands. */
export function LabelPlaceScreen() {
  const { kind = '', labelId = '' } = useParams();
  const known = LabelKind.safeParse(kind);
  const query = useLabelPlace(known.data ?? 'site', labelId);
  return <Loaded query={query} what={phrase('fleet.what-the-label-names')}>{(place) => (place.kind === 'site' && onlyOne(place) ? <Navigate to={`/visits/${onlyOne(place)!.id}`} replace /> : <Place place={place} />)}</Loaded>;
}

/** A site's label with one visit going on, or one published, leads straight to it. */
function onlyOne({ visits }: LabelPlace): VisitRow | null {
  const open = visits.filter((visit) => visit.state === 'open');
  const near = open.length > 0 ? open : visits.filter((visit) => visit.state === 'published');
  return near.length === 1 ? near[0]! : null;
}

function Place({ place }: { place: LabelPlace }) {
  const { device } = place;
  const first = onlyOne(place) ?? place.visits[0] ?? null;
  return (
    <Page title={device ? device.label : place.siteName} lead={device ? `${place.siteName}, ${place.address}` : place.address} slim>
      {device?.removed ? <p className="note">{phrase('fleet.by-the-records-this-device-was-taken')}</p> : null}
      {device ? <Facts of={[[phrase('fleet.what-it-is'), wordOf(DEVICE, device.kind)], [phrase('fleet.room'), device.room], [phrase('fleet.zone'), device.zone === null ? null : String(device.zone)], [phrase('fleet.system-2'), device.systemName]]} /> : null}
      <Section title={phrase('fleet.visits-here')}>
        {first === null ? <Empty title={phrase('fleet.no-visit-is-going-on-or-to')} action={<LinkButton to={`/sites/${place.siteId}`}>{phrase('fleet.open-the-site')}</LinkButton>}>{phrase('fleet.the-dispatcher-makes-one-from-the-sites')}</Empty> : null}
        <ul className="stack" style={{ listStyle: 'none', padding: 0 }}>{place.visits.map((visit) => (
          <li key={visit.id} className="leaf"><div className="row"><Mark shape={visit.state === 'open' ? 'half' : 'empty'}>{visit.state === 'open' ? phrase('fleet.going-on') : VISIT_STATE[visit.state]}</Mark><Link to={`/visits/${visit.id}`}>{visit.title}</Link></div>
            <span className="small">{visit.day ? dayWords(visit.day) : phrase('fleet.no-day-yet')}{visit.startMin === null ? '' : `, ${clockWords(visit.startMin)}`}; {minutesWords(visit.serviceMin)}{visit.technicianName ? `; ${visit.technicianName}` : ''}</span></li>
        ))}</ul>
        {first ? <LinkButton kind="do" size="big" fill to={`/visits/${first.id}`}>{first.state === 'open' ? phrase('fleet.go-on-with-the-visit') : phrase('fleet.open-the-visit')}</LinkButton> : null}
      </Section>
      <p><Link to={`/sites/${place.siteId}`}>{phrase('fleet.the-sites-page')}</Link></p>
    </Page>
  );
}
