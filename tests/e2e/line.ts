import { createServer, request, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';

/** The line between a phone and the house, so that it can fail for real: for pages and for their service worker alike. */
export interface Line {
  readonly url: string;
  /** method and path of what arrived at the house, in order */
  readonly arrived: string[];
  /** from now on nothing gets through, and what is open breaks */
  cut(): void;
  restore(): void;
  /** the next `times` answers to requests whose 'METHOD /path' matches are lost after the house has done its work */
  loseAnswers(what: RegExp, times: number): void;
  /** from now on the text answered to 'METHOD /path' is another, as after an upgrade of the house */
  change(what: RegExp, how: (text: string) => string): void;
  close(): Promise<void>;
}

export async function openLine(target: string): Promise<Line> {
  const to = new URL(target);
  const sockets = new Set<Socket>();
  const arrived: string[] = [];
  const losses: { what: RegExp; left: number }[] = [];
  const changes: { what: RegExp; how: (text: string) => string }[] = [];
  let isCut = false;
  const forward = (asked: IncomingMessage, answer: ServerResponse) => {
    const name = `${asked.method} ${asked.url?.split('?')[0]}`;
    const changed = changes.findLast((one) => one.what.test(name));
    // A text that is to be changed is asked for as it is, and anew.
    const { 'accept-encoding': _, 'if-none-match': __, 'if-modified-since': ___, ...plain } = asked.headers;
    const onward = request({ host: to.hostname, port: to.port, method: asked.method, path: asked.url, headers: changed ? plain : asked.headers }, (reply) => {
      const lost = losses.find((one) => one.left > 0 && one.what.test(name));
      if (lost) {
        lost.left -= 1;
        // The house has done it and said so: only nobody hears it.
        reply.resume().once('end', () => asked.socket.destroy());
        return;
      }
      if (changed) {
        const parts: Buffer[] = [];
        const { 'content-length': _length, etag: _etag, 'last-modified': _modified, ...headers } = reply.headers;
        reply.on('data', (part: Buffer) => parts.push(part)).once('end', () => { answer.writeHead(reply.statusCode!, headers); answer.end(changed.how(Buffer.concat(parts).toString('utf8'))); });
        return;
      }
      answer.writeHead(reply.statusCode!, reply.headers);
      reply.pipe(answer);
    });
    arrived.push(name);
    onward.once('error', () => answer.destroy());
    answer.once('close', () => onward.destroy());
    asked.pipe(onward);
  };
  const server = createServer(forward);
  server.on('connection', (socket) => {
    if (isCut) { socket.destroy(); return; }
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, arrived,
    cut: () => { isCut = true; for (const socket of sockets) socket.destroy(); },
    restore: () => { isCut = false; },
    change: (what, how) => { changes.push({ what, how }); },
    loseAnswers: (what, times) => { losses.push({ what, left: times }); },
    close: () => new Promise((resolve) => { for (const socket of sockets) socket.destroy(); server.close(() => resolve()); }),
  };
}
