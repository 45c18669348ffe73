import { randomBytes } from 'node:crypto';
import { Controller, Inject, Res, type StreamableFile } from '@nestjs/common';
import { Refusal, reportsRoutes, type InputOf } from '@bellround/contracts';
import { auditedSite, auditedSites, openAuditorLink, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { asPaper } from './reports.controller.js';

/** Auditors come without a session: the address's secret is their key, and opens its named sites only. */
@Controller()
export class AuditingController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(reportsRoutes.openAuditorLink)
  async open(@Asker() who: Who, @Input() input: InputOf<typeof reportsRoutes.openAuditorLink>) {
    const secret = randomBytes(24).toString('base64url');
    const link = await this.door.perform(openAuditorLink, who, { ...input, tokenHash: this.door.tools.sha256(secret) });
    return { link, url: `${this.door.settings.PUBLIC_URL ?? ''}/audit/${secret}` };
  }

  @Handles(reportsRoutes.auditedSites)
  async sites(@Input() input: InputOf<typeof reportsRoutes.auditedSites>, @Res({ passthrough: true }) reply: FastifyReply) {
    const { house, linkId } = await this.behind(input.secret, reply);
    return this.door.perform(auditedSites, house, { linkId, asOf: input.asOf });
  }

  @Handles(reportsRoutes.auditedSite)
  async site(@Input() input: InputOf<typeof reportsRoutes.auditedSite>, @Res({ passthrough: true }) reply: FastifyReply) {
    const { house, linkId } = await this.behind(input.secret, reply);
    return this.door.perform(auditedSite, house, { linkId, siteId: input.siteId, asOf: input.asOf, months: input.months });
  }

  @Handles(reportsRoutes.auditedReport)
  async report(@Input() input: InputOf<typeof reportsRoutes.auditedReport>, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    const { house, linkId } = await this.behind(input.secret, reply);
    // Pictures may show people and papers of the site: they stay in the house, the paper says how many there are.
    return asPaper(reply, await this.door.perform(auditedSite, house, { linkId, siteId: input.siteId, asOf: input.asOf, months: input.months }), null);
  }

  private async behind(secret: string, reply: FastifyReply): Promise<{ house: Who; linkId: string }> {
    void reply.header('cache-control', 'private, no-store');
    const link = await this.door.auditorOf(this.door.tools.sha256(secret));
    if (!link) throw new Refusal('NotFound', 'There is nothing at this address.');
    return { linkId: link.linkId, house: { companyId: link.companyId, userId: null, name: 'auditor', role: 'auditor', technicianId: null } };
  }
}
