import type { SiteStrips, StandingRow } from '@bellround/contracts';
import { memo } from 'react';
import { Link } from 'react-router';
import { countWords, dayShort } from '../../../shared/format.js';
import { DenseStrip } from '../../../shared/pictures/dense-strip.js';
import { Mark, StandingMark } from '../../../shared/ui/index.js';

export type Strips = Pick<SiteStrips, 'stripFrom' | 'stripTo' | 'asOf'> & { lanes: SiteStrips['sites'][number]['lanes']; pauses: SiteStrips['sites'][number]['pauses'] };
export const LANES_SHOWN = 4;

export function missingWords(row: StandingRow): string {
  const parts = [[row.lapsed, 'lapsed'], [row.cantTell, 'can’t be told'], [row.late, 'late'], [row.open, 'open']] as const;
  return `${parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`).join(', ')} of ${countWords(row.duties, 'duty', 'duties')}`;
}

interface RowProps { row: StandingRow; strips: Strips | null; isToday: boolean; asOf: string; place: number; onClient: (clientId: string) => void }

/** One site of the long list: where it stands, what is missing, its strip, the next lapse. Its height never depends on what is fetched. */
export const StandingRowView = memo(function StandingRowView({ row, strips, isToday, asOf, place, onClient }: RowProps) {
  return (
    <>
      <div role="cell" className="cell-site">
        <Link to={`/sites/${row.siteId}${isToday ? '' : `?asOf=${asOf}`}`} title={row.name}>{row.name}</Link>
        <button type="button" className="client" title={`Show only sites of ${row.clientName}`} onClick={() => onClient(row.clientId)}>{row.clientName}</button>
      </div>
      <div role="cell" className="cell-standing">
        <StandingMark standing={row.standing} />
        {row.standing === 'proven' || row.duties === 0 ? null : <span className="small clip">{missingWords(row)}</span>}
        {row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{countWords(row.openDeficiencies, 'deficiency', 'deficiencies')}</Mark> : null}
      </div>
      <div role="cell" className="cell-strip"><StripOf row={row} strips={strips} place={place} /></div>
      <div role="cell" className="cell-next">{row.nextLapses ? row.nextLapses < asOf ? <>missing since {dayShort(row.nextLapses)}</> : <><span className="next-word">next lapse </span>{dayShort(row.nextLapses)}</> : null}</div>
    </>
  );
});

function StripOf({ row, strips, place }: { row: StandingRow; strips: Strips | null; place: number }) {
  if (strips === null) return <span className="strip-coming" data-place={place} />;
  if (strips.lanes.length === 0) return <span className="quiet small">{row.duties === 0 ? 'no duties: no programme is laid on its systems' : 'no window in this stretch'}</span>;
  const lanes = strips.pauses.length === 0 ? strips.lanes : strips.lanes.map((lane) => ({ ...lane, pauses: strips.pauses }));
  const more = strips.lanes.length - LANES_SHOWN;
  return <>{<DenseStrip lanes={lanes} from={strips.stripFrom} to={strips.stripTo} today={strips.asOf} most={LANES_SHOWN} />}{more > 0 || row.duties > strips.lanes.length ? <span className="more small quiet">{Math.min(LANES_SHOWN, strips.lanes.length)} of {row.duties} duties drawn, the worst first</span> : null}</>;
}
