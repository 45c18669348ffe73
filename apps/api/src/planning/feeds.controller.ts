import { randomBytes } from 'node:crypto';
import { Controller, Inject, Res } from '@nestjs/common';
import { feedRoutes, Refusal, type InputOf } from '@bellround/contracts';
import { listFeeds, openFeed, readFeed, revokeFeed, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { roundsCalendar } from './rounds-calendar.js';

@Controller()
export class FeedsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(feedRoutes.listFeeds)
  list(@Asker() who: Who) {
    return this.door.perform(listFeeds, who, {});
  }

  @Handles(feedRoutes.openFeed)
  async open(@Asker() who: Who, @Input() input: InputOf<typeof feedRoutes.openFeed>) {
    const secret = randomBytes(24).toString('base64url');
    const feed = await this.door.perform(openFeed, who, { ...input, tokenHash: this.door.tools.sha256(secret) });
    return { feed, url: `${this.door.settings.PUBLIC_URL ?? ''}/api/calendar/${secret}` };
  }

  @Handles(feedRoutes.revokeFeed)
  revoke(@Asker() who: Who, @Input() input: InputOf<typeof feedRoutes.revokeFeed>) {
    return this.door.perform(revokeFeed, who, input);
  }

  @Handles(feedRoutes.readFeed)
  async read(@Input() input: InputOf<typeof feedRoutes.readFeed>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const feed = await this.door.feedOf(this.door.tools.sha256(input.secret));
    if (!feed) throw new Refusal('NotFound', 'There is no calendar at this address.');
    const house: Who = { companyId: feed.companyId, userId: null, name: 'calendar', role: 'house', technicianId: null };
    const rounds = await this.door.perform(readFeed, house, { technicianId: feed.technicianId });
    void reply.header('content-type', 'text/calendar; charset=utf-8').header('cache-control', 'private, max-age=300');
    return roundsCalendar(rounds, this.door.tools.now());
  }
}
