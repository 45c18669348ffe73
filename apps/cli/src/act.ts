import type { Perform, Who } from '@bellround/operations';

/** What a terminal act may use. The database is opened only for acts that ask for it. */
export interface Terminal {
  readonly perform: Perform;
  readonly house: (companySlug: string | undefined) => Promise<Who>;
  readonly newId: () => string;
  readonly now: () => Date;
}

/** One act of the terminal door. `run` answers data and its lines for people; refusals are thrown. */
export interface TerminalAct {
  readonly name: string;
  readonly usage: string;
  readonly words: string;
  readonly options: Readonly<Record<string, { readonly type: 'string' | 'boolean'; readonly words: string }>>;
  /** how many words it takes after its name: least and most */
  readonly takes: readonly [number, number];
  readonly needsDatabase: boolean;
  run(given: { readonly words: string[]; readonly options: Readonly<Record<string, string | boolean | undefined>> }, terminal: Terminal): Promise<{ data: unknown; lines: string[]; failed?: boolean }>;
}

/** Wrong use of the command line: what was given and what is accepted. */
export class WrongUse extends Error {
  override readonly name = 'WrongUse';
}

/** A whole number option within bounds. */
export function wholeNumber(name: string, given: string | boolean | undefined, usual: number, least: number, most: number): number {
  if (given === undefined) return usual;
  const value = Number(given);
  if (!Number.isInteger(value) || value < least || value > most) throw new WrongUse(`--${name} is '${String(given)}'; accepted is a whole number from ${least} to ${most}`);
  return value;
}

export function text(given: string | boolean | undefined): string | undefined {
  return typeof given === 'string' ? given : undefined;
}

export function required(name: string, given: string | boolean | undefined): string {
  if (typeof given !== 'string' || given === '') throw new WrongUse(`--${name} is missing`);
  return given;
}
