import { statSync } from 'node:fs';
import type { Perform, RoadService, Who } from '@bellround/operations';

/** What a terminal act may use. The database is opened at the first use of `perform`, `house` or `companies`. */
export interface Terminal {
  readonly perform: Perform;
  readonly companies: () => Promise<readonly { readonly slug: string; readonly name: string; readonly timeZone: string }[]>;
  readonly house: (companySlug: string | undefined) => Promise<Who>;
  readonly newId: () => string;
  readonly now: () => Date;
  /** the table service of road times; null where none is set */
  readonly roads?: () => RoadService | null;
  /** what an act needs that stands for all companies until it is ended; absent where no house is */
  readonly standing?: {
    /** the house in each company there is now */
    readonly houses: () => Promise<readonly Who[]>;
    /** calls back when something by that name changed in a company; answers how to stop */
    readonly follow: (about: string, onChange: () => void) => Promise<() => Promise<void>>;
    /** what keys are sealed with; null where the house has none */
    readonly secret: () => string | null;
  };
}

/** One act of the terminal door. `run` answers data and its lines for people; refusals are thrown. */
export interface TerminalAct {
  readonly name: string;
  readonly usage: string;
  readonly words: string;
  /** `several`: may be given more than once; `run` then gets the values joined by commas */
  readonly options: Readonly<Record<string, { readonly type: 'string' | 'boolean'; readonly several?: boolean; readonly words: string }>>;
  /** how many words it takes after its name: least and most */
  readonly takes: readonly [number, number];
  run(given: { readonly words: string[]; readonly options: Readonly<Record<string, string | boolean | undefined>> }, terminal: Terminal): Promise<{ data: unknown; lines: string[]; failed?: boolean }>;
}

/** Wrong use of the command line: what was given and what is accepted. */
export class WrongUse extends Error {
  override readonly name = 'WrongUse';
}

/** A file that a person named: there, and no folder. */
export function fileAt(path: string): string {
  const found = statSync(path, { throwIfNoEntry: false });
  if (!found) throw new WrongUse(`there is no file ${path}`);
  if (found.isDirectory()) throw new WrongUse(`${path} is a folder; accepted is a file`);
  return path;
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
