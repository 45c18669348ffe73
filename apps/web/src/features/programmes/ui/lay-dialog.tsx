import type { RuleCount } from '@bellround/contracts';
import { useState } from 'react';
import { todayIn } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';
import { useMe } from '../../../shared/session.js';
import { Button, CautionBox, CheckBox, DateField, Dialog, Form, Table, useToast } from '../../../shared/ui/index.js';
import { HOLD_PART, wordOf } from '../../../shared/words.js';
import { useApply, useCount, useCountRetired, useRetire } from '../api/programmes.js';

/** What of a programme the dialogs need. */
export interface ProgrammeToLay { readonly id: string; readonly title: string; readonly version: number; readonly systemKinds: readonly string[] }

interface Counted { readonly duties: { readonly added: number; readonly moved: number; readonly removed: number; readonly kept: number }; readonly byRule: readonly RuleCount[] }

/** What becomes of the fleet's duties, in all and rule by rule. */
function FleetCount({ counted }: { counted: Counted }) {
  return (
    <details><summary>{phrase('programmes.rule-by-rule')}</summary>
      <Table caption={phrase('programmes.duties-added-moved-removed')} rows={counted.byRule} rowKey={(row) => row.ruleKey} columns={[
        { key: 'title', title: phrase('programmes.duty'), cell: (row) => row.title },
        { key: 'added', title: phrase('programmes.head-added'), align: 'end', cell: (row) => row.added, sortBy: (row) => row.added },
        { key: 'moved', title: phrase('programmes.head-moved'), align: 'end', cell: (row) => row.moved, sortBy: (row) => row.moved },
        { key: 'removed', title: phrase('programmes.head-removed'), align: 'end', cell: (row) => row.removed, sortBy: (row) => row.removed },
        { key: 'kept', title: phrase('programmes.head-kept'), align: 'end', cell: (row) => row.kept, sortBy: (row) => row.kept },
      ]} />
    </details>
  );
}

/** Lays a version on systems from a day on: first counted, then done. */
export function LayDialog({ programme, onClose }: { programme: ProgrammeToLay; onClose: () => void }) {
  const [from, setFrom] = useState(todayIn(useMe().company.timeZone));
  const [kinds, setKinds] = useState<readonly string[]>(programme.systemKinds);
  const [laidOnly, setLaidOnly] = useState(programme.version > 1);
  const toast = useToast();
  const count = useCount();
  const apply = useApply();
  const asked = { programmeId: programme.id, from, systems: { ...(kinds.length === programme.systemKinds.length ? {} : { kinds: kinds as ('fire')[] }), ...(laidOnly ? { laidOnly } : {}) } };
  const counted = count.data;
  return (
    <Dialog title={phrase('programmes.lay-title-on-systems', { title: programme.title })} onClose={onClose}>
      <Form problem={count.error ?? apply.error} onSubmit={() => count.mutate({ ...asked, dryRun: true })}>
        <CautionBox title={phrase('programmes.before-you-rely-on-it')}>{phrase('programmes.local-codes-the-adopted-edition-and-licensed')}</CautionBox>
        <p>{phrase('programmes.it-is-laid-on-every-system-it')}</p>
        <DateField label={phrase('programmes.owed-from')} name="from" value={from} onChange={(day) => { setFrom(day); count.reset(); }} />
        {programme.systemKinds.length > 1 ? programme.systemKinds.map((kind) => <CheckBox key={kind} label={phrase('programmes.systems-of-kind-kind', { kind: wordOf(HOLD_PART, kind) })} checked={kinds.includes(kind)} onChange={(on) => { setKinds(on ? [...kinds, kind] : kinds.filter((one) => one !== kind)); count.reset(); }} />) : null}
        <CheckBox label={phrase('programmes.only-systems-on-which-a-version-is')} checked={laidOnly} onChange={(only) => { setLaidOnly(only); count.reset(); }} />
        <Button type="submit" busy={count.isPending} disabled={kinds.length === 0}>{phrase('programmes.count-first')}</Button>
        {counted ? (<div className="note" role="status">
          <p><strong>{phrase('programmes.systems-at-sites', { systems: phrase('count.system', { n: counted.systems }), sites: phrase('count.site', { n: counted.sites }) })}</strong> {phrase('programmes.added-added-moved-moved-removed-removed-kept', { added: phrase('count.duty', { n: counted.duties.added }), moved: counted.duties.moved, removed: counted.duties.removed, kept: counted.duties.kept, cantTell: counted.duties.cantTell })}</p>
          <FleetCount counted={counted} />
          {counted.skippedBecause.length > 0 ? <ul>{counted.skippedBecause.map((one) => <li key={one.reason}>{phrase('programmes.systems-skipped-reason', { systems: phrase('count.system', { n: one.systems }), reason: one.reason })}</li>)}</ul> : null}
          <Button kind="do" busy={apply.isPending} disabled={counted.systems === 0} onClick={() => apply.mutate({ ...asked, dryRun: false }, { onSuccess: (answer) => { toast(answer.standingReady ? phrase('programmes.laid-every-duty-has-its-window') : phrase('programmes.laid-the-windows-follow-in-the-background')); onClose(); } })}>{phrase('programmes.lay-on-systems-2', { systems: phrase('count.system', { n: counted.systems }) })}</Button>
        </div>) : null}
      </Form>
    </Dialog>
  );
}

/** Ends a version on its systems after a day: first counted, then done. What was proven or missed until then stays. */
export function RetireDialog({ programme, onClose }: { programme: ProgrammeToLay; onClose: () => void }) {
  const [lastDay, setLastDay] = useState(todayIn(useMe().company.timeZone));
  const count = useCountRetired();
  const retire = useRetire();
  const toast = useToast();
  const asked = { programmeId: programme.id, lastDay, systems: {} };
  const counted = count.data;
  return (
    <Dialog title={phrase('programmes.retire-title', { title: programme.title })} onClose={onClose}>
      <Form problem={count.error ?? retire.error} onSubmit={() => count.mutate({ ...asked, dryRun: true })}>
        <p>{phrase('programmes.its-duties-end-after-the-last-day')}</p>
        <DateField label={phrase('programmes.last-day-owed')} name="lastDay" value={lastDay} onChange={(day) => { setLastDay(day); count.reset(); }} />
        <Button type="submit" busy={count.isPending}>{phrase('programmes.count-first')}</Button>
        {counted ? (<div className="note" role="status">
          <p><strong>{phrase('programmes.systems-at-sites', { systems: phrase('count.system', { n: counted.systems }), sites: phrase('count.site', { n: counted.sites }) })}</strong> {phrase('programmes.added-moved-removed-kept-under-other-programmes', { added: counted.duties.added, moved: counted.duties.moved, removed: phrase('count.duty', { n: counted.duties.removed }), kept: counted.duties.kept })}</p>
          {counted.bare > 0 ? <CautionBox title={phrase('programmes.systems-that-owe-nothing-from-then-on', { systems: phrase('count.system', { n: counted.bare }) })}>{counted.bareSystems.map((one) => `${one.siteName}: ${one.systemName}`).join('; ')}</CautionBox> : null}
          <FleetCount counted={counted} />
          <Button kind="danger" busy={retire.isPending} disabled={counted.systems === 0} onClick={() => retire.mutate({ ...asked, dryRun: false }, { onSuccess: (answer) => { toast(phrase('programmes.duties-duties-end-their-history-stays', { duties: answer.duties.removed })); onClose(); } })}>{phrase('programmes.retire-on-systems', { systems: phrase('count.system', { n: counted.systems }) })}</Button>
        </div>) : null}
      </Form>
    </Dialog>
  );
}
