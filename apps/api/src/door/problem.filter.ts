import { Catch, HttpException, Inject, Logger, type ArgumentsHost, type ExceptionFilter } from '@nestjs/common';
import { problemDocument, Refusal } from '@bellround/contracts';
import type { IncomingMessage } from 'node:http';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DOOR, type Door } from './door.js';

/** The one place where an error becomes an answer: RFC 9457, field paths, never a stack trace. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  private readonly log = new Logger('api');

  constructor(@Inject(DOOR) private readonly door: Door) {}

  async catch(error: unknown, host: ArgumentsHost): Promise<void> {
    const reply = host.switchToHttp().getResponse<FastifyReply>();
    const request = host.switchToHttp().getRequest<FastifyRequest>();
    const refusal = this.refusalOf(error, request);
    const document = problemDocument(refusal, request.url.split('?')[0]);
    if (reply.sent || reply.raw.headersSent) {
      reply.raw.destroy();
      return;
    }
    await restOf(request.raw);
    if (request.raw.complete === false) void reply.header('connection', 'close');
    void reply.status(document.status).header('content-type', 'application/problem+json; charset=utf-8').header('cache-control', 'no-store').send(JSON.stringify(document));
  }

  private refusalOf(error: unknown, request: FastifyRequest): Refusal {
    if (error instanceof Refusal) return error;
    const status = error instanceof HttpException ? error.getStatus() : (error as { statusCode?: number }).statusCode;
    if (status === 404) return new Refusal('NotFound', 'There is nothing at this address.');
    if (status === 413) return new Refusal('TooLarge', 'The request is larger than this address accepts.');
    if (status !== undefined && status >= 400 && status < 500) return new Refusal('BadInput', `The request could not be read: ${(error as Error).message}.`);
    this.log.error(`${request.method} ${withoutSecret(request.url)} ${(error as Error)?.stack ?? String(error)}`);
    if (this.door.unreachable(error)) return new Refusal('Unavailable', 'The database, or the store of pictures, does not answer now. Nothing was written; try again in a moment.');
    return new Refusal('Internal', `Something went wrong on our side; nothing was written. Tell your administrator the time: ${new Date().toISOString()}.`);
  }
}

/** How long the rest of a refused upload is let in before the connection is closed on it. */
const DRAIN_MS = 20_000;

/**
 * Lets the rest of a refused body in and forgets it. Clients write their body before they read an answer: one that is
 * cut off sees a broken line instead of the refusal (RFC 9112 section 9.6).
 */
function restOf(body: IncomingMessage): Promise<void> {
  // only a body known to be still coming is waited for
  if (body.complete !== false || body.destroyed) return Promise.resolve();
  return new Promise((resolve) => {
    const enough = setTimeout(resolve, DRAIN_MS);
    for (const event of ['end', 'close', 'error'] as const) body.once(event, () => { clearTimeout(enough); resolve(); });
    body.resume();
  });
}

/** The path for the log: the secret in an auditor's or a calendar's address is nobody's to read there. */
function withoutSecret(url: string): string {
  return url.split('?')[0]!.replace(/\/(audit|calendar)\/[^/]+/, '/$1/(secret)');
}
