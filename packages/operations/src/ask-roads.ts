import { NO_WAY, readTable, tableAddress, tableRequests, type TableRequest } from '@bellround/planning';
import type { Perform, Who } from './perform.js';
import { keepRoadTimes } from './planning/keep-road-times.js';
import { wantRoadTimes } from './planning/want-road-times.js';
import type { RoadsFound, RoadsWanted } from './road-travel.js';

/** A table service as a door reaches it. */
export interface RoadService {
  readonly address: string;
  /** most places of one question */
  readonly most: number;
  /** the JSON of an answer, whatever its status; throws when there is none */
  get(address: string): Promise<unknown>;
  /** whether it is time to go on with what was answered so far */
  readonly enough: () => boolean;
}

/** Questions under way at once. */
const AT_ONCE = 3;
/** So many failures one after another, and nothing more is asked. */
const MOST_FAILURES = 3;
/** So many pairs are kept at a time. */
const KEPT_AT_ONCE = 50_000;

/**
 * Asks the service for what the plan's week lacks, and keeps each answer as it comes. Never throws: what was not answered is
 * estimated. Answers why something was not, in words; null: nothing is missing, or no service is set.
 */
export async function askRoads(perform: Perform, who: Who, planId: string, service: RoadService | null): Promise<string | null> {
  if (service === null) return null;
  try {
    const wanted = await perform(wantRoadTimes, who, { planId });
    return await new Asking(perform, who, service, wanted).run();
  } catch (error) {
    return (error as Error).message;
  }
}

class Asking {
  private found: RoadsFound[] = [];
  private pairs = 0;
  private failures = 0;
  private why: string | null = null;
  private readonly offRoad = new Set<number>();
  private readonly waiting: TableRequest[];
  private keeping: Promise<void> = Promise.resolve();

  constructor(private readonly perform: Perform, private readonly who: Who, private readonly service: RoadService, private readonly wanted: RoadsWanted) {
    this.waiting = tableRequests(wanted.missing, service.most);
  }

  async run(): Promise<string | null> {
    await Promise.all(Array.from({ length: AT_ONCE }, () => this.askInTurn()));
    await this.keep();
    if (this.why === null && this.waiting.length > 0) this.why = 'the time for asking was over';
    return this.why;
  }

  private async askInTurn(): Promise<void> {
    for (let request = this.next(); request !== undefined; request = this.next()) {
      await this.ask(request);
      if (this.pairs >= KEPT_AT_ONCE) await this.keep();
    }
  }

  private next(): TableRequest | undefined {
    return this.failures >= MOST_FAILURES || this.service.enough() ? undefined : this.waiting.shift();
  }

  private async ask(whole: TableRequest): Promise<void> {
    // a place that lies off all roads is asked once
    const request = { sources: whole.sources.filter((one) => !this.offRoad.has(one)), destinations: whole.destinations.filter((one) => !this.offRoad.has(one)) };
    for (const from of whole.sources) {
      const to = whole.destinations.filter((one) => one !== from && (this.offRoad.has(from) || this.offRoad.has(one)));
      if (to.length > 0) this.note(from, to, to.map(() => NO_WAY));
    }
    if (request.sources.length === 0 || request.destinations.length === 0) return;
    const answer = await this.answerTo(request);
    if (answer.kind === 'failed') { this.failures += 1; this.why = answer.words; return; }
    this.failures = 0;
    if (answer.kind === 'off-road') { this.offRoad.add(answer.place); this.waiting.unshift(request); return; }
    request.sources.forEach((from, i) => this.note(from, request.destinations, answer.minutes[i]!));
  }

  /** A second try, since a line that fails once often holds the next moment. */
  private async answerTo(request: TableRequest) {
    for (let last = false; ; last = true) {
      const answer = await this.service.get(tableAddress(this.service.address, this.wanted.points, request))
        .then((body) => readTable(request, body), (error: Error) => ({ kind: 'failed' as const, words: error.message }));
      if (answer.kind !== 'failed' || last) return answer;
    }
  }

  private note(from: number, to: readonly number[], minutes: readonly number[]): void {
    this.found.push({ from: this.wanted.points[from]!.n, to: to.map((one) => this.wanted.points[one]!.n), minutes });
    this.pairs += to.length;
  }

  /** One keeping after the other; what is found meanwhile waits for the next. */
  private keep(): Promise<void> {
    const found = this.found;
    [this.found, this.pairs] = [[], 0];
    this.keeping = this.keeping.then(async () => { if (found.length > 0) await this.perform(keepRoadTimes, this.who, { found }); });
    return this.keeping;
  }
}
