import type { RiskModelView, RiskVersionRow } from '@bellround/contracts';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { countWords, dayWords, momentWords, numberWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, Facts, LinkButton, Loaded, Mark, Page, Pager, Section, Table } from '../../../shared/ui/index.js';
import { useRiskModel, useRiskVersions, VERSIONS_PER_PAGE } from '../api/model.js';
import { BackTestSection } from './back-test-section.js';
import { classWords, rateWords, shareWords } from './exposure-words.js';

/** What the scores rest on: in plain words first, then every number with its source. */
export function ModelScreen() {
  const [params, setParams] = useSearchParams();
  const id = params.get('version');
  const model = useRiskModel(id);
  return (
    <Page title="What the scores rest on" lead="Each night the failure rates are fitted anew to this company’s own checks. A version that foretold a held-back year worse than the one in use is refused; both are kept." actions={<LinkButton to="/exposure">Sites by exposure</LinkButton>}>
      <Loaded query={model} what="the model">{(shown) => (shown === null
        ? <Empty title="Nothing is fitted yet" action={<LinkButton to="/import">Import a fleet</LinkButton>}>Rates are fitted after an import and every night. Until then the starting rules alone are used.</Empty>
        : <><InWords shown={shown} /><BackTestSection report={shown.report} /><Rates shown={shown} /><Modes shown={shown} /><Assumed shown={shown} /></>)}</Loaded>
      <Versions chosen={id} choose={(next) => setParams(next === null ? {} : { version: next })} />
    </Page>
  );
}

function InWords({ shown }: { shown: RiskModelView }) {
  const { timeZone } = useMe().company;
  const own = shown.classes.filter((row) => row.source === 'own history');
  const worst = own.toSorted((a, b) => b.meanPerYear - a.meanPerYear)[0];
  return (
    <Section title="In plain words">
      <ul>
        <li>{shown.fromDay ? `Checks from ${dayWords(shown.fromDay)} to ${dayWords(shown.toDay)} were used` : `No check was on record until ${dayWords(shown.toDay)}`}; fitted on {momentWords(shown.fittedAt, timeZone)}.</li>
        <li>{own.length === 0 ? 'No part has history of its own yet: the starting rules are used.' : `${countWords(own.length, 'kind')} of part ${own.length === 1 ? 'rests' : 'rest'} on your own checks; the other ${shown.classes.length - own.length} on starting rules.`}</li>
        {worst ? <li>What fails most often here: {classWords(worst.class)}, {rateWords(worst.meanPerYear)} failures a year each ({countWords(worst.failures, 'failure')} in {numberWords(worst.yearsInService, 0)} years of service).</li> : null}
        <li>A standby battery lives {numberWords(shown.battery.meanYears, 1)} years at 25 °C on average, half as long at 33 °C ({shown.battery.lives === 0 ? 'starting rule' : `from ${countWords(shown.battery.lives, 'battery', 'batteries')} of which ${numberWords(shown.battery.failed)} failed`}).</li>
        <li>{shown.report === null ? 'This version was made before reports were kept.' : `${shown.report.promote ? 'Accepted' : 'Refused'}: ${shown.report.why}.`} {shown.promoted ? <Mark shape="whole" tone="good">in use</Mark> : <Mark shape="line">not in use</Mark>}</li>
      </ul>
      <p className="small quiet">Version {shown.version}</p>
    </Section>
  );
}

function Rates({ shown }: { shown: RiskModelView }) {
  return (
    <Section title="Failure rates">
      <Table caption="Failure rates by kind of part" rows={shown.classes} rowKey={(row) => row.class} columns={[
        { key: 'class', title: 'Kind of part', cell: (row) => classWords(row.class) },
        { key: 'mean', title: 'Failures a year', align: 'end', sortBy: (row) => row.meanPerYear, cell: (row) => rateWords(row.meanPerYear) },
        { key: 'range', title: '95 % of parts lie between', align: 'end', cell: (row) => `${rateWords(row.lowPerYear)} and ${rateWords(row.highPerYear)}` },
        { key: 'seen', title: 'Seen', cell: (row) => (row.components === 0 ? 'no history' : `${countWords(row.failures, 'failure')} in ${numberWords(row.yearsInService, 0)} years of ${countWords(row.components, 'part')}`) },
        { key: 'source', title: 'Where it comes from', cell: (row) => <>{row.source}<br /><span className="small quiet">gamma of shape {numberWords(row.shape, 2)}; start: {row.rule}</span></> },
      ]} />
      <Facts of={[
        ['Batteries', `Weibull of shape ${numberWords(shown.battery.shape, 2)} and scale ${numberWords(shown.battery.scaleYears, 2)} years at 25 °C; ${shown.battery.source}; start: ${shown.battery.rule}`],
        ['What multiplies a rate', shown.factors.map((one) => `${one.name}: × ${numberWords(one.factor, 2)}`).join('; ')],
        ['Where the multipliers come from', shown.factorsSource],
        ['Lots by year of installation', shown.lots.length === 0 ? 'none more than a tenth away from its kind' : shown.lots.map((one) => `${classWords(one.class)} of ${one.year}: × ${numberWords(one.factor, 2)}`).join('; ')],
      ]} />
    </Section>
  );
}

function Modes({ shown }: { shown: RiskModelView }) {
  return (
    <Section title="How parts fail, and which checks find it">
      <p className="note">Source: {shown.modesSource}.</p>
      <details>
        <summary>The coverage matrix</summary>
        <Table caption="Failure modes by kind of part" rows={shown.modes.flatMap((one) => one.modes.map((mode) => ({ ...mode, class: one.class, reportedShare: one.reportedShare })))} rowKey={(row) => `${row.class} ${row.words}`} columns={[
          { key: 'class', title: 'Kind of part', cell: (row) => classWords(row.class) },
          { key: 'mode', title: 'Fails silently by', cell: (row) => row.words },
          { key: 'share', title: 'Share of silent faults', align: 'end', cell: (row) => shareWords(row.share) },
          { key: 'checks', title: 'Found by', cell: (row) => (row.revealedBy.length === 0 ? 'no check' : row.revealedBy.map(classWords).join(', ')) },
          { key: 'reported', title: 'Reported by itself, where it can', align: 'end', cell: (row) => shareWords(row.reportedShare) },
        ]} />
      </details>
    </Section>
  );
}

function Assumed({ shown }: { shown: RiskModelView }) {
  return (
    <Section title="What is set, not fitted">
      <details>
        <summary>{countWords(shown.settings.length, 'setting')} with sources</summary>
        <Table caption="Settings" rows={shown.settings} rowKey={(row) => row.name} columns={[
          { key: 'name', title: 'Setting', cell: (row) => row.name.replaceAll(/([A-Z])/g, (letter) => ` ${letter.toLowerCase()}`) },
          { key: 'value', title: 'Value', align: 'end', cell: (row) => numberWords(row.value, 3) },
          { key: 'source', title: 'Source', cell: (row) => row.source },
        ]} />
      </details>
    </Section>
  );
}

function Versions({ chosen, choose }: { chosen: string | null; choose: (id: string | null) => void }) {
  const [offset, setOffset] = useState(0);
  const { timeZone } = useMe().company;
  const versions = useRiskVersions(offset);
  const mark = (row: RiskVersionRow) => (row.inUse ? <Mark shape="whole" tone="good">in use</Mark> : row.accepted ? <Mark shape="line">accepted, since replaced</Mark> : <Mark shape="fallen" tone="bad">refused</Mark>);
  return (
    <Section title="Versions" actions={chosen === null ? null : <Button size="small" onClick={() => choose(null)}>Show the one in use</Button>}>
      <Loaded query={versions} what="the versions">{({ rows, total }) => (total === 0 ? <Empty title="No version yet" /> : <>
        <Table caption="Fitted versions, newest first" rows={rows} rowKey={(row) => row.id} chosen={chosen} columns={[
          { key: 'at', title: 'Fitted', cell: (row) => <Button kind="bare" size="small" onClick={() => choose(row.id)}>{momentWords(row.fittedAt, timeZone)}</Button> },
          { key: 'state', title: 'State', cell: mark },
          { key: 'window', title: 'Checks used', cell: (row) => (row.fromDay ? `${dayWords(row.fromDay)} to ${dayWords(row.toDay)}` : `until ${dayWords(row.toDay)}`) },
          { key: 'cases', title: 'Held back', cell: (row) => (row.cases === 0 ? 'nothing' : `${numberWords(row.happened)} failures of ${countWords(row.cases, 'part')}`) },
          { key: 'auc', title: 'Ranking (AUC)', align: 'end', cell: (row) => (row.areaUnderCurve === null ? 'not judged' : numberWords(row.areaUnderCurve, 3)) },
          { key: 'brier', title: 'Brier', align: 'end', cell: (row) => (row.brier === null ? 'not judged' : numberWords(row.brier, 5)) },
          { key: 'slope', title: 'Slope', align: 'end', cell: (row) => (row.slope === null ? 'not judged' : numberWords(row.slope, 2)) },
          { key: 'why', title: 'Why', cell: (row) => row.why },
        ]} /><Pager offset={offset} limit={VERSIONS_PER_PAGE} total={total} onMove={setOffset} what="versions" /></>)}</Loaded>
    </Section>
  );
}
