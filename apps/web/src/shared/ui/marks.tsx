import type { ReactNode } from 'react';
import { phrase } from '../language/index.js';

/**
 * Marks of our own drawing, kin of the proof strip: a basin is a window, a peg is a proof. Each is told apart by its shape
 * alone; the word always stands beside it.
 */
type Tone = 'good' | 'warn' | 'bad' | 'unsure' | 'plain';
interface Drawing { word: string; tone: Tone; shape: ReactNode }

const basin = <path d="M5 6v8h12V6" fill="none" />;
const shapes = {
  standing: <>{basin}<path d="M11 3v11" strokeWidth="4" /></>,
  empty: basin,
  beyond: <><path d="M1.500 6v8h9V6" fill="none" /><path d="M12 14h5.500" strokeDasharray="2 1.500" /><path d="M20.500 3v11" strokeWidth="4" /></>,
  bracketed: <><path d="M7.500 7v6h7V7" fill="none" strokeWidth="1.500" /><path d="M5 1.500H1.500v15H5M17 1.500h3.500v15H17" fill="none" /></>,
  hatched: <><path d="M3 3h16v12H3z" fill="none" strokeWidth="1.500" strokeDasharray="2 2" /><path d="M4 13 14 3.500M9 14.500 18.500 5.500" /></>,
  line: <path d="M4 9h14" strokeWidth="1.500" />,
  half: <><path d="M3 15h16" /><path d="M11 3v6" strokeWidth="4" /><path d="M11 9v6" strokeWidth="1.500" strokeDasharray="1.500 1.500" /></>,
  whole: <><path d="M3 15h16" /><path d="M11 3v12" strokeWidth="4" /></>,
  fallen: <><path d="M3 15h16" /><path d="m5 4 12 8" strokeWidth="4" /></>,
  returning: <><path d="M3 15h7" /><path d="M10 15V8a4 4 0 0 1 8 0v5m-2.500-2.500L18 13l2.500-2.500" fill="none" /></>,
  absent: <><path d="M3 15h16" strokeDasharray="2 2" /><path d="M8.500 4h5v7h-5z" fill="none" strokeWidth="1.500" strokeDasharray="2 1.500" /></>,
};

const STANDINGS: Record<string, Drawing> = {
  proven: { word: phrase('app.proven'), tone: 'good', shape: shapes.standing },
  open: { word: phrase('app.window-open'), tone: 'warn', shape: shapes.empty },
  late: { word: phrase('app.late'), tone: 'warn', shape: shapes.beyond },
  lapsed: { word: phrase('app.lapsed'), tone: 'bad', shape: shapes.bracketed },
  'cant-tell': { word: phrase('app.cant-tell'), tone: 'unsure', shape: shapes.hatched },
  'not-owed': { word: phrase('app.not-owed'), tone: 'plain', shape: shapes.line },
};

const VERDICTS: Record<string, Drawing> = {
  pass: { word: phrase('app.pass'), tone: 'good', shape: shapes.whole },
  marginal: { word: phrase('app.marginal'), tone: 'warn', shape: shapes.half },
  fail: { word: phrase('app.fail'), tone: 'bad', shape: shapes.fallen },
  excused: { word: phrase('app.excused-owed-again'), tone: 'warn', shape: shapes.returning },
  'not-done': { word: phrase('app.not-done'), tone: 'plain', shape: shapes.absent },
  'not-enough-data': { word: phrase('app.cant-tell'), tone: 'unsure', shape: shapes.hatched },
};

function Drawn({ drawing, word }: { drawing: Drawing; word?: ReactNode }) {
  return (
    <span className={`mark ${drawing.tone}`}>
      <svg viewBox="0 0 22 18" aria-hidden="true" stroke="currentColor" strokeWidth="2" strokeLinecap="butt" fill="none">{drawing.shape}</svg>
      <span>{word ?? drawing.word}</span>
    </span>
  );
}

const unknown = (word: string): Drawing => ({ word, tone: 'unsure', shape: shapes.hatched });
const plainKey = (key: string) => key.toLowerCase().replaceAll('_', '-').replaceAll(' ', '-').replaceAll("'", '');

/** Standing of a site or duty: proven, open, late, lapsed, cant-tell, not-owed. */
export function StandingMark({ standing, word }: { standing: string; word?: ReactNode }) {
  return <Drawn drawing={STANDINGS[plainKey(standing)] ?? unknown(standing)} word={word} />;
}

/** Verdict of a check: pass, marginal, fail, excused, not-done, not-enough-data. */
export function VerdictMark({ verdict, word }: { verdict: string; word?: ReactNode }) {
  return <Drawn drawing={VERDICTS[plainKey(verdict)] ?? unknown(verdict)} word={word} />;
}

/** Any other state: say its word, its tone, and one of the shapes. */
export function Mark({ shape, tone = 'plain', children }: { shape: keyof typeof shapes; tone?: Tone; children: ReactNode }) {
  return <Drawn drawing={{ word: '', tone, shape: shapes[shape] }} word={children} />;
}

/** A short word in a box: a kind, a role, a label. No state. */
export function Tag({ children }: { children: ReactNode }) {
  return <span className="tag">{children}</span>;
}

