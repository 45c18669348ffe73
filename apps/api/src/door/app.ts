import 'reflect-metadata';
import compress from '@fastify/compress';
import cookie from '@fastify/cookie';
import { constants } from 'node:zlib';
import fastifyStatic from '@fastify/static';
import { Global, Module, type DynamicModule } from '@nestjs/common';
import { APP_FILTER, APP_GUARD, NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import type { Readable } from 'node:stream';
import { problemDocument, Refusal, speakPlainly } from '@bellround/contracts';
import { capabilityModules } from '../capabilities.js';
import { ChangesController } from './changes.controller.js';
import { DOOR, type Door } from './door.js';
import { DoorGuard } from './door.guard.js';
import { HealthController } from './health.controller.js';
import { ProblemFilter } from './problem.filter.js';

/** A JSON body holds at most a visit's batch of readings and one small photo. */
const BODY_LIMIT = 4 * 1024 * 1024;

@Global()
@Module({})
class DoorModule {
  static of(door: Door): DynamicModule {
    return {
      module: DoorModule,
      controllers: [HealthController, ChangesController],
      providers: [{ provide: DOOR, useValue: door }, { provide: APP_GUARD, useClass: DoorGuard }, { provide: APP_FILTER, useClass: ProblemFilter }],
      exports: [DOOR],
    };
  }
}

@Module({})
class AppModule {
  static of(door: Door): DynamicModule {
    return { module: AppModule, imports: [DoorModule.of(door), ...capabilityModules] };
  }
}

/** An address that no route can read - a part too long for an id, a broken escape - is refused before any filter sees it. */
function refuseAddress(error: { code?: string }, request: { url: string }, reply: { code(status: number): { header(name: string, value: string): { send(body: string): unknown } } }): void {
  const refusal = error.code === 'FST_ERR_MAX_PARAM_LENGTH' ? new Refusal('NotFound', 'There is nothing at this address.') : new Refusal('BadInput', 'The address could not be read.');
  const document = problemDocument(refusal, request.url.split('?')[0]!.slice(0, 200));
  reply.code(document.status).header('content-type', 'application/problem+json; charset=utf-8').send(JSON.stringify(document));
}

/** Builds the HTTP door around `door`; `webDir` is the built web app, served with its fallback for client routes. */
export async function buildApp(door: Door, webDir: string | null): Promise<NestFastifyApplication> {
  speakPlainly();
  const adapter = new FastifyAdapter({ bodyLimit: BODY_LIMIT, trustProxy: false, forceCloseConnections: true, frameworkErrors: refuseAddress as never });
  const app = await NestFactory.create<NestFastifyApplication>(AppModule.of(door), adapter, { logger: ['error', 'warn'], bodyParser: true });
  const fastify = app.getHttpAdapter().getInstance();
  const pictures = ["'self'", 'data:', 'blob:', ...(door.settings.MAP_TILES_URL ? [new URL(door.settings.MAP_TILES_URL).origin] : [])].join(' ');
  await app.register(cookie as never);
  // A long list travels at a sixth of its size. The middle of the scale: squeezing harder costs more than the line saves.
  await app.register(compress as never, { global: true, threshold: 2048, encodings: ['br', 'gzip'], brotliOptions: { params: { [constants.BROTLI_PARAM_QUALITY]: 4 } } } as never);
  // A CSV upload streams through: it is never held in memory, so it has no size limit of its own.
  fastify.addContentTypeParser('text/csv', { bodyLimit: Number.MAX_SAFE_INTEGER }, (_request: unknown, payload: Readable, done: (error: null, body: Readable) => void) => done(null, payload));
  fastify.addHook('onSend', async (request: { url: string }, reply: { header(name: string, value: string): unknown; getHeader(name: string): unknown }) => {
    // What a person may see is kept by the app under their name, or not at all: never by the browser's own cache.
    if (request.url.startsWith('/api') && !reply.getHeader('cache-control')) reply.header('cache-control', 'no-store');
    reply.header('x-content-type-options', 'nosniff');
    reply.header('referrer-policy', 'no-referrer');
    reply.header('x-frame-options', 'DENY');
    reply.header('content-security-policy', `default-src 'self'; img-src ${pictures}; style-src 'self' 'unsafe-inline'; frame-ancestors 'none'`);
  });
  if (webDir !== null) await serveWeb(app, webDir);
  return app;
}

async function serveWeb(app: NestFastifyApplication, webDir: string): Promise<void> {
  await app.register(fastifyStatic as never, {
    // The build puts a .br and a .gz beside each text file: scripts travel at a third of their size.
    root: webDir, wildcard: true, index: ['index.html'], cacheControl: true, maxAge: 0, preCompressed: true,
    setHeaders: (reply: { header(name: string, value: string): unknown }, path: string) => {
      if (/\/assets\//.test(path)) void reply.header('cache-control', 'public, max-age=31536000, immutable');
      // An old service worker or page would go on serving old scripts.
      else if (/(?:sw\.js|index\.html|manifest\.webmanifest)(?:\.br|\.gz)?$/.test(path)) void reply.header('cache-control', 'no-cache');
    },
  } as never);
  const fastify = app.getHttpAdapter().getInstance();
  // Addresses inside the web app (/week, /sites/...) are the app's own; only /api answers problems.
  fastify.addHook('onRequest', async (request: { method: string; url: string; raw: { url?: string } }, reply: { sendFile?(file: string): unknown }) => {
    const path = request.url.split('?')[0]!;
    if (request.method === 'GET' && !path.startsWith('/api') && !/\.[a-z0-9]+$/i.test(path) && path !== '/') return reply.sendFile?.('index.html');
    return undefined;
  });
}
