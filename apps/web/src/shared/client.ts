import type { AnswerOf, AskOf, FieldFault, ProblemDocument, ProblemName, Route } from '@bellround/contracts';
import { noteAnswer, noteSilence } from './contact.js';
import { phrase } from './language/index.js';
import { said } from './language/said.js';

/** A refusal as the screen needs it. `problem` is 'Unreachable' when no answer came at all: nothing is known of what was written. */
export class ProblemError extends Error {
  readonly problem: ProblemName | 'Unreachable';
  readonly status: number;
  readonly title: string;
  readonly detail: string;
  readonly errors: readonly FieldFault[];
  readonly data: Readonly<Record<string, unknown>>;

  constructor(problem: ProblemName | 'Unreachable', document: Omit<ProblemDocument, 'type'>) {
    super(`${document.title}. ${document.detail}`);
    this.name = 'ProblemError';
    this.problem = problem;
    this.status = document.status;
    this.title = document.title;
    this.detail = document.detail;
    this.errors = document.errors ?? [];
    this.data = document.data ?? {};
  }
}

export function isProblem(error: unknown, ...names: (ProblemName | 'Unreachable')[]): error is ProblemError {
  return error instanceof ProblemError && (names.length === 0 || names.includes(error.problem));
}

export interface HttpRequest { method: 'GET' | 'POST'; url: string; body: string | null }

/** Where an input goes: path parameters first, then the query (GET, upload) or the JSON body (POST). Throws when a path parameter is missing. */
export function requestOf<R extends Route>(route: R, input: AskOf<R>): HttpRequest {
  const left: Record<string, unknown> = { ...(input as Record<string, unknown>) };
  const path = route.path.replace(/:(\w+)/g, (_, name: string) => {
    const value = left[name];
    if (value === undefined || value === null || value === '') throw new Error(`${route.name} needs ${name} in its address`);
    delete left[name];
    return encodeURIComponent(String(value));
  });
  if (route.method === 'POST' && route.carries !== 'upload') return { method: 'POST', url: path, body: JSON.stringify(left) };
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(left)) {
    if (value === undefined || value === null || value === '') continue;
    for (const one of Array.isArray(value) ? value : [value]) query.append(name, String(one));
  }
  const text = query.toString();
  return { method: route.method, url: text === '' ? path : `${path}?${text}`, body: null };
}

/** 'urn:bellround:problem:sign-in-refused' -> 'SignInRefused' */
export function problemNameOf(type: string): ProblemName {
  const slug = type.slice(type.lastIndexOf(':') + 1);
  return slug.split('-').map((word) => word.charAt(0).toUpperCase() + word.slice(1)).join('') as ProblemName;
}

/** The problem an answer carries; an answer that is no problem document (a proxy's page) is told as unavailable. */
export function problemFrom(status: number, body: string): ProblemError {
  try {
    const document = JSON.parse(body) as ProblemDocument;
    if (typeof document.type === 'string' && typeof document.title === 'string') return new ProblemError(problemNameOf(document.type), inThisLanguage(document));
  } catch { /* not a problem document: told below */ }
  return new ProblemError(status >= 500 ? 'Unavailable' : 'BadInput', {
    title: status >= 500 ? phrase('app.something-this-needs-is-not-reachable-now') : phrase('app.the-request-was-refused'),
    status, detail: phrase('app.the-server-answered-status-without-saying-why', { status }),
  });
}

function inThisLanguage(document: ProblemDocument): ProblemDocument {
  const errors = document.errors?.map(({ path, message }) => ({ path, message: said(message) }));
  return { ...document, title: said(document.title), detail: said(document.detail), ...(errors ? { errors } : {}) };
}

export function unreachable(): ProblemError {
  return new ProblemError('Unreachable', {
    title: phrase('app.no-answer-from-the-server'), status: 0,
    detail: phrase('app.there-is-no-connection-or-the-server'),
  });
}

async function answered(request: HttpRequest, signal?: AbortSignal): Promise<Response> {
  const sentAt = Date.now();
  let response: Response;
  try {
    response = await fetch(request.url, {
      method: request.method, credentials: 'same-origin', ...(signal ? { signal } : {}),
      headers: { accept: 'application/json, application/problem+json', ...(request.body === null ? {} : { 'content-type': 'application/json' }) },
      ...(request.body === null ? {} : { body: request.body }),
    });
  } catch (error) {
    if (signal?.aborted) throw error;
    noteSilence();
    throw unreachable();
  }
  // A hotspot's sign-in page answers everything with a page of its own: that is no word of our server.
  noteAnswer(response.headers.get('date'), sentAt, response.ok && !/html/.test(response.headers.get('content-type') ?? ''));
  if (!response.ok) throw problemFrom(response.status, await response.text());
  return response;
}

/** Asks a declared route and answers its output. Throws ProblemError only (or the abort of `signal`). */
export async function ask<R extends Route>(route: R, input: AskOf<R>, signal?: AbortSignal): Promise<AnswerOf<R>> {
  const response = await answered(requestOf(route, input), signal);
  const text = await response.text();
  try {
    return JSON.parse(text) as AnswerOf<R>;
  } catch {
    // An old server or a proxy that answers every address with the app's page.
    throw problemFrom(503, text);
  }
}

/** The address of a file route, for a plain link: `<a href={addressOf(route, input)} download>`. */
export function addressOf<R extends Route>(route: R, input: AskOf<R>): string {
  return requestOf(route, input).url;
}

/** Fetches a file route and hands the file to the person under the server's name for it. */
export async function download<R extends Route>(route: R, input: AskOf<R>, fallbackName = `${route.name}.csv`): Promise<void> {
  const response = await answered(requestOf(route, input));
  saveBlob(await response.blob(), fileNameOf(response.headers.get('content-disposition')) ?? fallbackName);
}

export function fileNameOf(disposition: string | null): string | null {
  return /filename="?([^";]+)"?/.exec(disposition ?? '')?.[1] ?? null;
}

export function saveBlob(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/**
 * Sends a file as it is to an 'upload' route; `onProgress` is told the share sent, 0 to 1 (the server may still be working
 * when it says 1). The file is streamed by the browser, never held in memory here.
 */
export function upload<R extends Route>(route: R, input: AskOf<R>, file: Blob, options: { onProgress?: (share: number) => void; signal?: AbortSignal } = {}): Promise<AnswerOf<R>> {
  const { url } = requestOf(route, input);
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', url);
    request.setRequestHeader('content-type', 'text/csv');
    request.setRequestHeader('accept', 'application/json, application/problem+json');
    request.upload.onprogress = (event) => { if (event.lengthComputable) options.onProgress?.(event.loaded / event.total); };
    request.onerror = () => reject(unreachable());
    request.onabort = () => reject(new DOMException(phrase('app.the-upload-was-stopped'), 'AbortError'));
    request.onload = () => {
      if (request.status < 200 || request.status > 299) return reject(problemFrom(request.status, request.responseText));
      try {
        resolve(JSON.parse(request.responseText) as AnswerOf<R>);
      } catch {
        reject(problemFrom(503, request.responseText));
      }
    };
    options.signal?.addEventListener('abort', () => request.abort(), { once: true });
    request.send(file);
  });
}
