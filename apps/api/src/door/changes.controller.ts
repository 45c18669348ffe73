import { Controller, Inject, Req, Res } from '@nestjs/common';
import { changesRoute } from '@bellround/contracts';
import type { Who } from '@bellround/operations';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DOOR, type Door } from './door.js';
import { Asker, Handles } from './handles.js';

/** Server-sent events: tells a screen which subject changed so that it asks again; carries ids only. */
@Controller()
export class ChangesController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(changesRoute)
  changes(@Asker() who: Who, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    reply.hijack();
    reply.raw.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store', connection: 'keep-alive', 'x-accel-buffering': 'no' });
    reply.raw.write('retry: 2000\n\n');
    const stop = this.door.watch(who.companyId, (about, siteId) => reply.raw.write(`data: ${JSON.stringify({ about, siteId })}\n\n`));
    const beat = setInterval(() => reply.raw.write(': beat\n\n'), 20_000);
    request.raw.on('close', () => { stop(); clearInterval(beat); });
  }
}
