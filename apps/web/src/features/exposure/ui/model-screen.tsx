import type { RiskModelView, RiskVersionRow } from '@bellround/contracts';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { dayWords, momentWords, numberWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, Facts, LinkButton, Loaded, Mark, Page, Pager, Section, Table } from '../../../shared/ui/index.js';
import { useRiskModel, useRiskVersions, VERSIONS_PER_PAGE } from '../api/model.js';
import { BackTestSection } from './back-test-section.js';
import { classWords, rateWords, settingWords, shareWords } from './exposure-words.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** What the scores rest on: in plain words first, then every number with its source. */
export function ModelScreen() {
  const [params, setParams] = useSearchParams();
  const id = params.get('version');
  const model = useRiskModel(id);
  return (
    <Page title={phrase('exposure.what-the-scores-rest-on')} lead={phrase('exposure.each-night-the-failure-rates-are-fitted')} actions={<LinkButton to="/exposure">{phrase('exposure.sites-by-exposure')}</LinkButton>}>
      <Loaded query={model} what={phrase('exposure.the-model')}>{(shown) => (shown === null
        ? <Empty title={phrase('exposure.nothing-is-fitted-yet')} action={<LinkButton to="/import">{phrase('exposure.import-a-fleet')}</LinkButton>}>{phrase('exposure.rates-are-fitted-after-an-import-and')}</Empty>
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
    <Section title={phrase('exposure.in-plain-words')}>
      <ul>
        <li>{phrase('exposure.value-fitted-on-fittedat', { value: shown.fromDay ? phrase('exposure.checks-from-fromday-to-today-were-used', { fromDay: dayWords(shown.fromDay), toDay: dayWords(shown.toDay) }) : phrase('exposure.no-check-was-on-record-until-today', { toDay: dayWords(shown.toDay) }), fittedAt: momentWords(shown.fittedAt, timeZone) })}</li>
        <li>{own.length === 0 ? phrase('exposure.no-part-has-history-of-its-own') : phrase('exposure.own-of-part-value-on-your-own', { own: phrase('count.kind', { n: own.length }), value: own.length === 1 ? phrase('exposure.rests') : phrase('exposure.rest'), value2: shown.classes.length - own.length })}</li>
        {worst ? <li>{phrase('exposure.what-fails-most-often-here-class-meanperyear', { class: classWords(worst.class), meanPerYear: rateWords(worst.meanPerYear), failures: phrase('count.failure', { n: worst.failures }), yearsInService: numberWords(worst.yearsInService, 0) })}</li> : null}
        <li>{phrase('exposure.a-standby-battery-lives-meanyears-years-at', { meanYears: numberWords(shown.battery.meanYears, 1), value: shown.battery.lives === 0 ? phrase('exposure.starting-rule') : phrase('exposure.from-lives-of-which-failed-failed', { lives: phrase('count.battery', { n: shown.battery.lives }), failed: numberWords(shown.battery.failed) }) })}</li>
        <li>{shown.wrongVerdicts === null ? phrase('exposure.verdicts-are-taken-at-their-word') : phrase('exposure.share-of-verdicts-believed-wrong', { share: numberWords(shown.wrongVerdicts.share * 100, 1) })}</li>
        <li>{shown.report === null ? phrase('exposure.this-version-was-made-before-reports-were') : `${shown.report.promote ? phrase('exposure.accepted-2') : phrase('exposure.refused-2')}: ${said(shown.report.why)}.`} {shown.promoted ? <Mark shape="whole" tone="good">{phrase('exposure.in-use')}</Mark> : <Mark shape="line">{phrase('exposure.not-in-use')}</Mark>}</li>
      </ul>
      <p className="small quiet">{phrase('exposure.version-version', { version: shown.version })}</p>
    </Section>
  );
}

function Rates({ shown }: { shown: RiskModelView }) {
  return (
    <Section title={phrase('exposure.failure-rates')}>
      <Table caption={phrase('exposure.failure-rates-by-kind-of-part')} rows={shown.classes} rowKey={(row) => row.class} columns={[
        { key: 'class', title: phrase('exposure.kind-of-part'), cell: (row) => classWords(row.class) },
        { key: 'mean', title: phrase('exposure.failures-a-year'), align: 'end', sortBy: (row) => row.meanPerYear, cell: (row) => rateWords(row.meanPerYear) },
        { key: 'range', title: phrase('exposure.95-of-parts-lie-between'), align: 'end', cell: (row) => phrase('exposure.lowperyear-and-highperyear', { lowPerYear: rateWords(row.lowPerYear), highPerYear: rateWords(row.highPerYear) }) },
        { key: 'seen', title: phrase('exposure.seen'), cell: (row) => (row.components === 0 ? phrase('exposure.no-history') : phrase('exposure.failures-in-yearsinservice-years-of-components', { failures: phrase('count.failure', { n: row.failures }), yearsInService: numberWords(row.yearsInService, 0), components: phrase('count.part', { n: row.components }) })) },
        { key: 'source', title: phrase('exposure.where-it-comes-from'), cell: (row) => <>{said(row.source)}<br /><span className="small quiet">{phrase('exposure.gamma-of-shape-shape-start-rule', { shape: numberWords(row.shape, 2), rule: said(row.rule) })}</span></> },
      ]} />
      <Facts of={[
        [phrase('exposure.batteries-2'), phrase('exposure.weibull-of-shape-shape-and-scale-scaleyears', { shape: numberWords(shown.battery.shape, 2), scaleYears: numberWords(shown.battery.scaleYears, 2), source: said(shown.battery.source), rule: said(shown.battery.rule) })],
        [phrase('exposure.what-multiplies-a-rate'), shown.factors.map((one) => `${said(one.name)}: × ${numberWords(one.factor, 2)}`).join('; ')],
        [phrase('exposure.where-the-multipliers-come-from'), said(shown.factorsSource)],
        [phrase('exposure.lots-by-year-of-installation'), shown.lots.length === 0 ? phrase('exposure.none-more-than-a-tenth-away-from') : shown.lots.map((one) => phrase('exposure.class-of-year-factor', { class: classWords(one.class), year: one.year, factor: numberWords(one.factor, 2) })).join('; ')],
      ]} />
    </Section>
  );
}

function Modes({ shown }: { shown: RiskModelView }) {
  return (
    <Section title={phrase('exposure.how-parts-fail-and-which-checks-find')}>
      <p className="note">{phrase('exposure.source-modessource', { modesSource: said(shown.modesSource) })}</p>
      <details>
        <summary>{phrase('exposure.the-coverage-matrix')}</summary>
        <Table caption={phrase('exposure.failure-modes-by-kind-of-part')} rows={shown.modes.flatMap((one) => one.modes.map((mode) => ({ ...mode, class: one.class, reportedShare: one.reportedShare })))} rowKey={(row) => `${row.class} ${row.words}`} columns={[
          { key: 'class', title: phrase('exposure.kind-of-part'), cell: (row) => classWords(row.class) },
          { key: 'mode', title: phrase('exposure.fails-silently-by'), cell: (row) => said(row.words) },
          { key: 'share', title: phrase('exposure.share-of-silent-faults'), align: 'end', cell: (row) => shareWords(row.share) },
          { key: 'checks', title: phrase('exposure.found-by'), cell: (row) => (row.revealedBy.length === 0 ? phrase('exposure.no-check') : row.revealedBy.map(classWords).join(', ')) },
          { key: 'reported', title: phrase('exposure.reported-by-itself-where-it-can'), align: 'end', cell: (row) => shareWords(row.reportedShare) },
        ]} />
      </details>
    </Section>
  );
}

function Assumed({ shown }: { shown: RiskModelView }) {
  return (
    <Section title={phrase('exposure.what-is-set-not-fitted')}>
      <details>
        <summary>{phrase('exposure.settings-with-sources', { settings: phrase('count.setting', { n: shown.settings.length }) })}</summary>
        <Table caption={phrase('exposure.settings')} rows={shown.settings} rowKey={(row) => row.name} columns={[
          { key: 'name', title: phrase('exposure.setting'), cell: (row) => settingWords(row.name) },
          { key: 'value', title: phrase('exposure.value'), align: 'end', cell: (row) => numberWords(row.value, 3) },
          { key: 'source', title: phrase('exposure.source'), cell: (row) => said(row.source) },
        ]} />
      </details>
    </Section>
  );
}

function Versions({ chosen, choose }: { chosen: string | null; choose: (id: string | null) => void }) {
  const [offset, setOffset] = useState(0);
  const { timeZone } = useMe().company;
  const versions = useRiskVersions(offset);
  const mark = (row: RiskVersionRow) => (row.inUse ? <Mark shape="whole" tone="good">{phrase('exposure.in-use')}</Mark> : row.accepted ? <Mark shape="line">{phrase('exposure.accepted-since-replaced')}</Mark> : <Mark shape="fallen" tone="bad">{phrase('exposure.refused')}</Mark>);
  return (
    <Section title={phrase('exposure.versions')} actions={chosen === null ? null : <Button size="small" onClick={() => choose(null)}>{phrase('exposure.show-the-one-in-use')}</Button>}>
      <Loaded query={versions} what={phrase('exposure.the-versions')}>{({ rows, total }) => (total === 0 ? <Empty title={phrase('exposure.no-version-yet')} /> : <>
        <Table caption={phrase('exposure.fitted-versions-newest-first')} rows={rows} rowKey={(row) => row.id} chosen={chosen} columns={[
          { key: 'at', title: phrase('exposure.fitted'), cell: (row) => <Button kind="bare" size="small" onClick={() => choose(row.id)}>{momentWords(row.fittedAt, timeZone)}</Button> },
          { key: 'state', title: phrase('exposure.state'), cell: mark },
          { key: 'window', title: phrase('exposure.checks-used'), cell: (row) => (row.fromDay ? phrase('exposure.fromday-to-today', { fromDay: dayWords(row.fromDay), toDay: dayWords(row.toDay) }) : phrase('exposure.until-today', { toDay: dayWords(row.toDay) })) },
          { key: 'cases', title: phrase('exposure.held-back'), cell: (row) => (row.cases === 0 ? phrase('exposure.nothing') : phrase('exposure.happened-failures-of-cases', { happened: numberWords(row.happened), cases: phrase('count.part', { n: row.cases }) })) },
          { key: 'auc', title: phrase('exposure.ranking-auc'), align: 'end', cell: (row) => (row.areaUnderCurve === null ? phrase('exposure.not-judged') : numberWords(row.areaUnderCurve, 3)) },
          { key: 'brier', title: phrase('exposure.brier'), align: 'end', cell: (row) => (row.brier === null ? phrase('exposure.not-judged') : numberWords(row.brier, 5)) },
          { key: 'slope', title: phrase('exposure.slope'), align: 'end', cell: (row) => (row.slope === null ? phrase('exposure.not-judged') : numberWords(row.slope, 2)) },
          { key: 'why', title: phrase('exposure.why'), cell: (row) => said(row.why) },
        ]} /><Pager offset={offset} limit={VERSIONS_PER_PAGE} total={total} onMove={setOffset} what={phrase('exposure.versions-2')} /></>)}</Loaded>
    </Section>
  );
}
