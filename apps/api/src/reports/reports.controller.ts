import { Controller, Inject, Res, StreamableFile } from '@nestjs/common';
import { findRoutes, reportsRoutes, type InputOf, type SiteReport } from '@bellround/contracts';
import { find, listAuditorLinks, revokeAuditorLink, siteReport, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { reportPaper } from './report-paper.js';

@Controller()
export class ReportsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(reportsRoutes.siteReport)
  async siteReport(@Asker() who: Who, @Input() input: InputOf<typeof reportsRoutes.siteReport>, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    return asPaper(reply, await this.door.perform(siteReport, who, input));
  }

  @Handles(reportsRoutes.listAuditorLinks)
  listAuditorLinks(@Asker() who: Who) {
    return this.door.perform(listAuditorLinks, who, {});
  }

  @Handles(reportsRoutes.revokeAuditorLink)
  revokeAuditorLink(@Asker() who: Who, @Input() input: InputOf<typeof reportsRoutes.revokeAuditorLink>) {
    return this.door.perform(revokeAuditorLink, who, input);
  }

  @Handles(findRoutes.find)
  find(@Asker() who: Who, @Input() input: InputOf<typeof findRoutes.find>) {
    return this.door.perform(find, who, input);
  }
}

/** The paper with its name; never kept by a cache that others share. */
export async function asPaper(reply: FastifyReply, report: SiteReport): Promise<StreamableFile> {
  const name = report.site.name.replaceAll(/[^\p{L}\p{N}]+/gu, '-').replaceAll(/^-|-$/g, '').toLowerCase();
  const plain = name.normalize('NFKD').replaceAll(/[^a-z0-9-]/g, '') || 'site';
  void reply.header('cache-control', 'private, no-store');
  return new StreamableFile(await reportPaper(report), { type: 'application/pdf', disposition: `attachment; filename="${plain}-${report.site.asOf}.pdf"` });
}
