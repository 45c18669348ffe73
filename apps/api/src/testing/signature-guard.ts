import { createHash, createHmac } from 'node:crypto';
import { createServer, request, type IncomingMessage, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';

/**
 * Stands before a test store that takes any signature, and lets through only what is signed with `secret` by Signature Version 4:
 * canonical request, string to sign and signing key computed here from the parts, not by the client under test.
 */
export async function openSignatureGuard(target: number, secret: string): Promise<{ origin: string; close(): Promise<void> }> {
  const server: Server = createServer((asked, answer) => {
    void bodyOf(asked).then((body) => {
      if (signatureOf(asked, secret, body) !== /Signature=([0-9a-f]{64})/.exec(asked.headers.authorization ?? '')?.[1]) {
        answer.writeHead(403, { 'content-type': 'application/xml' }).end('<Error><Code>SignatureDoesNotMatch</Code><Message>The signature is another.</Message></Error>');
        return;
      }
      request({ host: '127.0.0.1', port: target, method: asked.method, path: asked.url, headers: asked.headers }, (said) => { answer.writeHead(said.statusCode ?? 500, said.headers); said.pipe(answer); }).end(body);
    });
  });
  await new Promise<void>((resolve) => { server.listen(0, '127.0.0.1', resolve); });
  return { origin: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, close: () => new Promise((resolve) => { server.closeAllConnections(); server.close(() => resolve()); }) };
}

async function bodyOf(asked: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of asked) parts.push(part as Buffer);
  return Buffer.concat(parts);
}

const sha256 = (data: string | Buffer): string => createHash('sha256').update(data).digest('hex');
const hmac = (key: string | Buffer, text: string): Buffer => createHmac('sha256', key).update(text).digest();

function signatureOf(asked: IncomingMessage, secret: string, body: Buffer): string | null {
  const found = /^AWS4-HMAC-SHA256 Credential=[^/]+\/(\d{8})\/([^/]+)\/s3\/aws4_request, ?SignedHeaders=([^,]+),/.exec(asked.headers.authorization ?? '');
  if (!found || asked.headers['x-amz-content-sha256'] !== sha256(body)) return null;
  const [, day, region, signed] = found as unknown as [string, string, string, string];
  const { pathname, searchParams } = new URL(asked.url ?? '/', 'http://x');
  searchParams.sort();
  const headers = signed.split(';').map((name) => `${name}:${String(asked.headers[name]).trim()}\n`).join('');
  const canonical = [asked.method, pathname, searchParams.toString(), headers, signed, asked.headers['x-amz-content-sha256']].join('\n');
  const toSign = ['AWS4-HMAC-SHA256', asked.headers['x-amz-date'], `${day}/${region}/s3/aws4_request`, sha256(canonical)].join('\n');
  const key = ['aws4_request', 's3', region, day].reduceRight<Buffer>((so, part) => hmac(so, part), Buffer.from(`AWS4${secret}`));
  return hmac(key, toSign).toString('hex');
}
