import { readFileSync } from 'node:fs';

export type Clock = 'wall' | 'processor';

/** Reads the --clock option. */
export function clockOf(word: string): Clock {
  if (word !== 'wall' && word !== 'processor') throw new Error(`option --clock is '${word}', accepted are wall and processor`);
  return word;
}

/**
 * The used share of a budget of seconds. 'wall': as a user sees it. 'processor': seconds in which this thread really ran,
 * which is what a quiet machine would need (Linux only: /proc/thread-self/stat, clock ticks of 10 ms).
 */
export function budget(seconds: number, clock: Clock): () => number {
  if (clock === 'wall') {
    const start = Date.now();
    return () => (Date.now() - start) / (1000 * seconds);
  }
  const used = (): number => {
    const text = readFileSync('/proc/thread-self/stat', 'latin1');
    // fields 14 and 15, counted after the name, which may hold spaces
    const fields = text.slice(text.lastIndexOf(')') + 2).split(' ');
    return (Number(fields[11]) + Number(fields[12])) / 100;
  };
  const start = used();
  let asked = 0;
  let share = 0;
  return () => {
    if (asked++ % 8 === 0) share = (used() - start) / seconds;
    return share;
  };
}
