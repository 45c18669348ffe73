import type { SiteDetail } from '@bellround/contracts';
import { countWords, dayShort, numberWords } from '../../../shared/format.js';
import { type Column, Facts, Mark, Table, Tag } from '../../../shared/ui/index.js';

type System = SiteDetail['systems'][number];
type Device = System['devices'][number];
type Battery = System['batteries'][number];
type Path = System['paths'][number];

const day = (on: string | null) => (on ? dayShort(on) : <span className="quiet">not recorded</span>);
/** A date of make that nobody could read is told as such: never as young. */
const made = (on: string | null, state: string) => (on ? dayShort(on) : <Mark shape="hatched" tone="unsure">{state === 'unreadable' ? 'unreadable' : state === 'absent' ? 'none on it' : 'nobody looked'}</Mark>);
const gone = (on: string | null) => (on ? <Mark shape="absent">removed {dayShort(on)}</Mark> : '');

const DEVICES: Column<Device>[] = [
  { key: 'label', title: 'Device', cell: (one) => one.label, sortBy: (one) => one.label },
  { key: 'zone', title: 'Zone', align: 'end', cell: (one) => one.zone ?? '', sortBy: (one) => one.zone },
  { key: 'kind', title: 'Kind', cell: (one) => <span><Tag>{one.kind}</Tag> {one.link}</span>, sortBy: (one) => one.kind },
  { key: 'room', title: 'Room', cell: (one) => one.room ?? '' },
  { key: 'serial', title: 'Serial', cell: (one) => one.serial ?? '' },
  { key: 'made', title: 'Made', cell: (one) => made(one.madeOn, one.madeOnState), sortBy: (one) => one.madeOn },
  { key: 'gone', title: '', cell: (one) => gone(one.removedOn) },
];
const BATTERIES: Column<Battery>[] = [
  { key: 'label', title: 'Battery', cell: (one) => one.label },
  { key: 'chemistry', title: 'Chemistry', cell: (one) => one.chemistry },
  { key: 'rated', title: 'Rated', align: 'end', cell: (one) => `${one.nominalMv === null ? '' : `${numberWords(one.nominalMv / 1000)} V `}${one.ratedMah === null ? 'can’t tell' : `${numberWords(one.ratedMah / 1000)} Ah`}` },
  { key: 'made', title: 'Made', cell: (one) => made(one.madeOn, one.madeOnState) },
  { key: 'fitted', title: 'Fitted', cell: (one) => day(one.fittedOn) },
  { key: 'gone', title: '', cell: (one) => gone(one.removedOn) },
];
const PATHS: Column<Path>[] = [
  { key: 'label', title: 'Path', cell: (one) => `${one.rank}. ${one.label}` },
  { key: 'technology', title: 'By', cell: (one) => one.technology },
  { key: 'supervision', title: 'A loss is known within', cell: (one) => (one.supervisionS === null ? <Mark shape="hatched" tone="unsure">can’t tell</Mark> : one.supervisionS < 120 ? `${one.supervisionS} s` : `${numberWords(one.supervisionS / 60, 1)} min`) },
  { key: 'contract', title: 'Contract ends', cell: (one) => day(one.contractEndsOn) },
  { key: 'network', title: 'Network ends', cell: (one) => day(one.technologyEndsOn) },
  { key: 'gone', title: '', cell: (one) => gone(one.removedOn) },
];

export function SystemOf({ system }: { system: System }) {
  return (
    <section className="leaf stack" aria-label={system.name}>
      <h3>{system.name} <Tag>{system.kind}</Tag>{system.retiredOn ? <> <Mark shape="absent">ended {dayShort(system.retiredOn)}</Mark></> : null}</h3>
      <Facts of={[['Key', system.key], ['Control unit', system.controlUnit], ['Grade', system.grade], ['Commissioned', day(system.installedOn)]]} />
      {system.paths.length > 0 ? <Table caption={`Paths of ${system.name}`} columns={PATHS} rows={system.paths} rowKey={(one) => one.id} /> : <p><Mark shape="hatched" tone="unsure">no path known</Mark> Nothing says how an alarm would reach the station.</p>}
      {system.batteries.length > 0 ? <Table caption={`Batteries of ${system.name}`} columns={BATTERIES} rows={system.batteries} rowKey={(one) => one.id} /> : <p className="quiet">No battery recorded.</p>}
      <details open={system.devices.length > 0 && system.devices.length <= 12}>
        <summary>{countWords(system.devices.length, 'device')} in {countWords(system.zones.length, 'zone')}</summary>
        {system.devices.length > 0 ? <Table caption={`Devices of ${system.name}`} columns={DEVICES} rows={system.devices} rowKey={(one) => one.id} /> : null}
      </details>
    </section>
  );
}
