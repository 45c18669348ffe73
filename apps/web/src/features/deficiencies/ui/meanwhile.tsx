import type { DeficiencyRow } from '@bellround/contracts';
import { momentWords } from '../../../shared/format.js';
import { Mark } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

/** What protects the site meanwhile, and until when. */
export function Meanwhile({ interim, zone }: { interim: NonNullable<DeficiencyRow['interim']>; zone: string }) {
  const values = { words: interim.words, by: interim.by, until: momentWords(interim.untilAt, zone) };
  return interim.over ? <Mark shape="bracketed" tone="bad">{phrase('deficiencies.meanwhile-ended', values)}</Mark> : <Mark shape="half" tone="warn">{phrase('deficiencies.meanwhile-until', values)}</Mark>;
}

/** Whether the authority was told of an impairment, and by when it must be. */
export function Clock({ clock, zone }: { clock: NonNullable<DeficiencyRow['clock']>; zone: string }) {
  if (clock.toldAt !== null) return <Mark shape="whole" tone="good">{phrase('deficiencies.the-authority-was-told', { moment: momentWords(clock.toldAt, zone) })}</Mark>;
  const moment = momentWords(clock.tellBy, zone);
  const words = clock.over ? phrase('deficiencies.the-authority-should-have-been-told', { moment }) : phrase('deficiencies.tell-the-authority-by', { moment });
  return <><Mark shape={clock.over ? 'bracketed' : 'half'} tone={clock.over ? 'bad' : 'warn'}>{words}</Mark> <span className="small quiet">{clock.rule}</span></>;
}
