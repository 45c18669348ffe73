import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';

interface At { readonly lat: number; readonly lon: number }

/** A table service of road times that answers over HTTP, and keeps what it was asked. What `says` answers goes before. */
export class TableService {
  readonly asked: { places: string[]; sources: number[]; destinations: number[] }[] = [];
  says: (places: string[]) => { status: number; body: string } | null = () => null;
  private constructor(private readonly server: Server, readonly url: string) {}

  /** `minutes`: how long it takes from one place to another. */
  static async open(minutes: (from: At, to: At) => number): Promise<TableService> {
    const server = createServer((request, response) => {
      const url = new URL(request.url!, 'http://x');
      const places = url.pathname.split('/').at(-1)!.split(';');
      const list = (name: string) => url.searchParams.get(name)!.split(';').map(Number);
      const [sources, destinations] = [list('sources'), list('destinations')];
      service.asked.push({ places, sources, destinations });
      const said = service.says(places);
      const at = (n: number) => { const [lon, lat] = places[n]!.split(',').map(Number); return { lat: lat!, lon: lon! }; };
      const durations = sources.map((from) => destinations.map((to) => 60 * minutes(at(from), at(to))));
      response.writeHead(said?.status ?? 200, { 'content-type': 'application/json' }).end(said?.body ?? JSON.stringify({ code: 'Ok', durations }));
    });
    await new Promise<void>((resolve) => { server.listen(0, '127.0.0.1', resolve); });
    const service = new TableService(server, `http://127.0.0.1:${(server.address() as AddressInfo).port}/table/v1/driving`);
    return service;
  }

  get pairs(): number { return this.asked.reduce((sum, one) => sum + one.sources.length * one.destinations.length, 0); }
  close(): void { this.server.close(); this.server.closeAllConnections(); }
}
