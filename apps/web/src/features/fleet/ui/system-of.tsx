import type { SiteDetail } from '@bellround/contracts';
import { dayShort, numberWords } from '../../../shared/format.js';
import { type Column, Facts, Mark, Table, Tag } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { CHEMISTRY, DEVICE, DEVICE_LINK, ENVIRONMENT, SYSTEM_KIND, TECHNOLOGY, wordOf } from '../../../shared/words.js';

type System = SiteDetail['systems'][number];
type Device = System['devices'][number];
type Battery = System['batteries'][number];
type Path = System['paths'][number];

const day = (on: string | null) => (on ? dayShort(on) : <span className="quiet">{phrase('fleet.not-recorded')}</span>);
/** A date of make that nobody could read is told as such: never as young. */
const made = (on: string | null, state: string) => (on ? dayShort(on) : <Mark shape="hatched" tone="unsure">{state === 'unreadable' ? phrase('fleet.unreadable') : state === 'absent' ? phrase('fleet.none-on-it') : phrase('fleet.nobody-looked')}</Mark>);
const gone = (on: string | null) => (on ? <Mark shape="absent">{phrase('fleet.removed-on', { on: dayShort(on) })}</Mark> : '');

const DEVICES: Column<Device>[] = [
  { key: 'label', title: phrase('fleet.device'), cell: (one) => one.label, sortBy: (one) => one.label },
  { key: 'zone', title: phrase('fleet.zone'), align: 'end', cell: (one) => one.zone ?? '', sortBy: (one) => one.zone },
  { key: 'kind', title: phrase('fleet.kind'), cell: (one) => <span><Tag>{wordOf(DEVICE, one.kind)}</Tag> {wordOf(DEVICE_LINK, one.link)}</span>, sortBy: (one) => one.kind },
  { key: 'room', title: phrase('fleet.room'), cell: (one) => one.room ?? '' },
  { key: 'environment', title: phrase('fleet.environment'), cell: (one) => (one.environment ? wordOf(ENVIRONMENT, one.environment) : <span className="quiet">{phrase('fleet.as-the-site')}</span>) },
  { key: 'serial', title: phrase('fleet.serial'), cell: (one) => one.serial ?? '' },
  { key: 'made', title: phrase('fleet.made'), cell: (one) => made(one.madeOn, one.madeOnState), sortBy: (one) => one.madeOn },
  { key: 'gone', title: '', cell: (one) => gone(one.removedOn) },
];
const BATTERIES: Column<Battery>[] = [
  { key: 'label', title: phrase('fleet.battery'), cell: (one) => one.label },
  { key: 'chemistry', title: phrase('fleet.chemistry'), cell: (one) => wordOf(CHEMISTRY, one.chemistry) },
  { key: 'rated', title: phrase('fleet.rated'), align: 'end', cell: (one) => `${one.nominalMv === null ? '' : `${numberWords(one.nominalMv / 1000)} V `}${one.ratedMah === null ? phrase('fleet.cant-tell') : `${numberWords(one.ratedMah / 1000)} Ah`}` },
  { key: 'made', title: phrase('fleet.made'), cell: (one) => made(one.madeOn, one.madeOnState) },
  { key: 'fitted', title: phrase('fleet.fitted'), cell: (one) => day(one.fittedOn) },
  { key: 'gone', title: '', cell: (one) => gone(one.removedOn) },
];
const PATHS: Column<Path>[] = [
  { key: 'label', title: phrase('fleet.path'), cell: (one) => `${one.rank}. ${one.label}` },
  { key: 'technology', title: phrase('fleet.by'), cell: (one) => wordOf(TECHNOLOGY, one.technology) },
  { key: 'supervision', title: phrase('fleet.a-loss-is-known-within'), cell: (one) => (one.supervisionS === null ? <Mark shape="hatched" tone="unsure">{phrase('fleet.cant-tell')}</Mark> : one.supervisionS < 120 ? `${one.supervisionS} s` : `${numberWords(one.supervisionS / 60, 1)} min`) },
  { key: 'contract', title: phrase('fleet.contract-ends'), cell: (one) => day(one.contractEndsOn) },
  { key: 'network', title: phrase('fleet.network-ends'), cell: (one) => day(one.technologyEndsOn) },
  { key: 'gone', title: '', cell: (one) => gone(one.removedOn) },
];

export function SystemOf({ system }: { system: System }) {
  return (
    <section className="leaf stack" aria-label={system.name}>
      <h3>{system.name} <Tag>{wordOf(SYSTEM_KIND, system.kind)}</Tag>{system.retiredOn ? <> <Mark shape="absent">{phrase('fleet.ended-retiredon', { retiredOn: dayShort(system.retiredOn) })}</Mark></> : null}</h3>
      <Facts of={[[phrase('fleet.key'), system.key], [phrase('fleet.control-unit'), system.controlUnit], [phrase('fleet.grade'), system.grade], [phrase('fleet.commissioned'), day(system.installedOn)]]} />
      {system.paths.length > 0 ? <Table caption={phrase('fleet.paths-of-name', { name: system.name })} columns={PATHS} rows={system.paths} rowKey={(one) => one.id} /> : <p><Mark shape="hatched" tone="unsure">{phrase('fleet.no-path-known')}</Mark> {phrase('fleet.nothing-says-how-an-alarm-would-reach')}</p>}
      {system.batteries.length > 0 ? <Table caption={phrase('fleet.batteries-of-name', { name: system.name })} columns={BATTERIES} rows={system.batteries} rowKey={(one) => one.id} /> : <p className="quiet">{phrase('fleet.no-battery-recorded')}</p>}
      <details open={system.devices.length > 0 && system.devices.length <= 12}>
        <summary>{phrase('fleet.devices-in-zones', { devices: phrase('count.device', { n: system.devices.length }), zones: phrase('count.zone', { n: system.zones.length }) })}</summary>
        {system.devices.length > 0 ? <Table caption={phrase('fleet.devices-of-name', { name: system.name })} columns={DEVICES} rows={system.devices} rowKey={(one) => one.id} /> : null}
      </details>
    </section>
  );
}
