import type { z } from 'zod';
import type { Permission } from './permissions.js';
import type { ProblemName } from './problems.js';

/**
 * One thing that can be asked over HTTP, declared once: the controller is bound to it, the web client calls it, OpenAPI
 * is written from it, and the tenancy suite walks it. Its input is one object: path parameters, then the query (GET) or
 * the JSON body (others), merged.
 */
export interface Route<I extends z.ZodType = z.ZodType, O extends z.ZodType = z.ZodType> {
  readonly name: string;
  readonly method: 'GET' | 'POST';
  /** begins with /api; parameters as `:siteId` */
  readonly path: string;
  readonly summary: string;
  /** null: needs no sign-in */
  readonly may: Permission | null;
  readonly input: I;
  readonly output: O;
  readonly problems: readonly ProblemName[];
  /** json unless said otherwise; `upload` takes a CSV body, `csv`, `calendar` and `pdf` answer a file, `image` a picture */
  readonly carries: 'json' | 'upload' | 'csv' | 'calendar' | 'events' | 'image' | 'pdf';
}

export function route<I extends z.ZodType, O extends z.ZodType>(
  declared: Omit<Route<I, O>, 'problems' | 'carries'> & Partial<Pick<Route<I, O>, 'problems' | 'carries'>>,
): Route<I, O> {
  return { problems: [], carries: 'json', ...declared };
}

export type InputOf<R> = R extends Route<infer I, z.ZodType> ? z.output<I> : never;
/** What a caller writes: before defaults and coercion. */
export type AskOf<R> = R extends Route<infer I, z.ZodType> ? z.input<I> : never;
export type AnswerOf<R> = R extends Route<z.ZodType, infer O> ? z.output<O> : never;
