import type { SiteStrips, StandingRow } from '@bellround/contracts';
import { memo } from 'react';
import { Link } from 'react-router';
import { dayShort } from '../../../shared/format.js';
import { DenseStrip } from '../../../shared/pictures/dense-strip.js';
import { Mark, StandingMark } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

export type Strips = Pick<SiteStrips, 'stripFrom' | 'stripTo' | 'asOf'> & { lanes: SiteStrips['sites'][number]['lanes']; pauses: SiteStrips['sites'][number]['pauses'] };
export const LANES_SHOWN = 4;

export function missingWords(row: StandingRow): string {
  const parts = [[row.lapsed, 'lapsed'], [row.cantTell, phrase('standing.cant-be-told')], [row.late, 'late'], [row.open, 'open']] as const;
  return phrase('standing.join-of-duties', { join: parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`).join(', '), duties: phrase('count.duty', { n: row.duties }) });
}

interface RowProps { row: StandingRow; strips: Strips | null; isToday: boolean; asOf: string; place: number; onClient: (clientId: string) => void }

/** One site of the long list: where it stands, what is missing, its strip, the next lapse. Its height never depends on what is fetched. */
export const StandingRowView = memo(function StandingRowView({ row, strips, isToday, asOf, place, onClient }: RowProps) {
  return (
    <>
      <div role="cell" className="cell-site">
        <Link to={`/sites/${row.siteId}${isToday ? '' : `?asOf=${asOf}`}`} title={row.name}>{row.name}</Link>
        <button type="button" className="client" title={phrase('standing.show-only-sites-of-clientname', { clientName: row.clientName })} onClick={() => onClient(row.clientId)}>{row.clientName}</button>
      </div>
      <div role="cell" className="cell-standing">
        <StandingMark standing={row.standing} />
        {row.standing === 'proven' || row.duties === 0 ? null : <span className="small clip">{missingWords(row)}</span>}
        {row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{phrase('count.deficiency', { n: row.openDeficiencies })}</Mark> : null}
      </div>
      <div role="cell" className="cell-strip"><StripOf row={row} strips={strips} place={place} /></div>
      <div role="cell" className="cell-next">{row.nextLapses ? row.nextLapses < asOf ? <>{phrase('standing.missing-since-nextlapses', { nextLapses: dayShort(row.nextLapses) })}</> : <><span className="next-word">{phrase('standing.next-lapse-2')} </span>{dayShort(row.nextLapses)}</> : null}</div>
    </>
  );
});

function StripOf({ row, strips, place }: { row: StandingRow; strips: Strips | null; place: number }) {
  if (strips === null) return <span className="strip-coming" data-place={place} />;
  if (strips.lanes.length === 0) return <span className="quiet small">{row.duties === 0 ? phrase('standing.no-duties-no-programme-is-laid-on') : phrase('standing.no-window-in-this-stretch')}</span>;
  const lanes = strips.pauses.length === 0 ? strips.lanes : strips.lanes.map((lane) => ({ ...lane, pauses: strips.pauses }));
  const more = strips.lanes.length - LANES_SHOWN;
  return <>{<DenseStrip lanes={lanes} from={strips.stripFrom} to={strips.stripTo} today={strips.asOf} most={LANES_SHOWN} />}{more > 0 || row.duties > strips.lanes.length ? <span className="more small quiet">{phrase('standing.min-of-duties-duties-drawn-the-worst', { min: Math.min(LANES_SHOWN, strips.lanes.length), duties: row.duties })}</span> : null}</>;
}
