import { FILES_OF_STEP, type FirstRun, type FirstStep, type ImportKind, importKind, routes } from '@bellround/contracts';
import { Link } from 'react-router';
import { download } from '../../../shared/client.js';
import { Button, LinkButton, Loaded, Mark, Page, Section, useToast } from '../../../shared/ui/index.js';
import { useFirstRun } from '../api/first-run.js';
import { STEP_WORDS, stepCount } from './begin-words.js';
import './begin.css';
import { phrase } from '../../../shared/language/index.js';

/** The way from an empty company to a published week: what is there, what comes next, and a file to try it with. */
export function BeginScreen() {
  const query = useFirstRun();
  return (
    <Page title={phrase('fleet.begin')} lead={phrase('fleet.from-nothing-to-a-planned-week-each')} slim>
      <Loaded query={query} what={phrase('fleet.where-you-stand')}>{(run) => (
        <>
          <p role="status">{run.next === null ? phrase('fleet.a-week-is-published-your-company-is') : phrase('fleet.count-of-steps-done-next-tolowercase', { count: phrase('count.step', { n: run.steps.filter((one) => one.isDone).length }), steps: run.steps.length, toLowerCase: STEP_WORDS[run.next].title.toLowerCase() })}</p>
          <ol className="begin">{run.steps.map((one) => <Step key={one.step} {...one} isNext={run.next === one.step} unplacedSites={run.unplacedSites} />)}</ol>
          <Helpful run={run} />
        </>
      )}</Loaded>
    </Page>
  );
}

function Step({ step, count, isDone, isNext, unplacedSites }: FirstRun['steps'][number] & { isNext: boolean; unplacedSites: number }) {
  const words = STEP_WORDS[step];
  const files = FILES_OF_STEP[step] ?? [];
  return (
    <li className={isNext ? 'leaf next' : 'leaf'} aria-current={isNext ? 'step' : undefined}>
      <div className="row"><h2>{isDone ? <Link to={words.seen}>{words.title}</Link> : words.title}</h2><Mark shape={isDone ? 'whole' : isNext ? 'half' : 'empty'} tone={isDone ? 'good' : 'plain'}>{isDone ? stepCount(step, count) : isNext ? phrase('fleet.next') : phrase('fleet.to-come')}</Mark></div>
      {isDone ? null : <p>{words.why}</p>}
      {step === 'sites' && unplacedSites > 0 ? <p className="note">{phrase('fleet.unplacedsites-no-place-on-the-map-and', { unplacedSites: phrase('count.site-has', { n: unplacedSites }) })}</p> : null}
      {isDone ? null : (
        <div className="row">
          <LinkButton kind={isNext ? 'do' : 'plain'} {...(isNext ? {} : { size: 'small' as const })} to={words.to}>{words.act}</LinkButton>
          {files.map((kind) => <SampleButton key={kind} kind={kind} />)}
        </div>)}
    </li>
  );
}

/** The invented company's file of this kind: twelve sites that import as they are. */
export function SampleButton({ kind }: { kind: ImportKind }) {
  const say = useToast();
  return <Button size="small" kind="bare" onClick={() => { download(routes.importSample, { kind, of: 'small-company' }, `sample-${kind}.csv`).catch((error: Error) => say(error.message)); }}>{phrase('fleet.sample-file-tolowercase', { toLowerCase: importKind(kind).title.toLowerCase() })}</Button>;
}

const HELPFUL: readonly { key: keyof FirstRun['helpful']; kind: ImportKind; title: string; why: string }[] = [
  { key: 'checks', kind: 'checks', title: phrase('fleet.past-checks'), why: phrase('fleet.without-them-every-duty-begins-as-cant') },
  { key: 'stationLists', kind: 'station-list', title: phrase('fleet.the-stations-account-list'), why: phrase('fleet.the-honest-denominator-accounts-that-fell-off') },
  { key: 'invoiceLists', kind: 'invoice-list', title: phrase('fleet.the-invoice-list'), why: phrase('fleet.what-you-bill-and-do-not-check') },
];

function Helpful({ run }: { run: FirstRun }) {
  return (
    <Section title={phrase('fleet.not-needed-to-begin-but-worth-it')}>
      <ul className="begin">{HELPFUL.map(({ key, kind, title, why }) => (
        <li key={key} className="leaf">
          <div className="row"><h3>{title}</h3><Mark shape={run.helpful[key] > 0 ? 'whole' : 'empty'} tone={run.helpful[key] > 0 ? 'good' : 'plain'}>{run.helpful[key] > 0 ? phrase('fleet.there') : phrase('fleet.not-yet')}</Mark></div>
          <p className="quiet">{why}</p>
          <div className="row"><LinkButton size="small" to={`/import?kind=${kind}`}>{phrase('fleet.import-it')}</LinkButton><SampleButton kind={kind} /></div>
        </li>
      ))}</ul>
    </Section>
  );
}

/** On every screen of those who plan, until a week is published: what comes next. */
export function BeginLine({ next }: { next: FirstStep }) {
  const words = STEP_WORDS[next];
  return (
    <div className="outbox-line" role="status">
      <span>{phrase('fleet.your-company-is-being-set-up-next')} <strong>{words.title.toLowerCase()}</strong>.</span>
      <span className="row"><LinkButton size="small" to={words.to}>{words.act}</LinkButton><LinkButton size="small" kind="bare" to="/begin">{phrase('fleet.all-steps')}</LinkButton></span>
    </div>
  );
}
