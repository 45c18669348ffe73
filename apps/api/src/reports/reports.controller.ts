import { Controller, Inject, Res, StreamableFile } from '@nestjs/common';
import { findRoutes, Refusal, reportsRoutes, type InputOf, type SiteReport } from '@bellround/contracts';
import { find, listAuditorLinks, revokeAuditorLink, siteReport, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { pictureBytes } from '../visits/picture.js';
import { reportPaper } from './report-paper.js';

/** Pictures that one paper shows. */
const PICTURES_MOST = 24;

@Controller()
export class ReportsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(reportsRoutes.siteReport)
  async siteReport(@Asker() who: Who, @Input() input: InputOf<typeof reportsRoutes.siteReport>, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    const report = await this.door.perform(siteReport, who, input);
    return asPaper(reply, report, await this.picturesOf(who, report));
  }

  @Handles(reportsRoutes.listAuditorLinks)
  listAuditorLinks(@Asker() who: Who) {
    return this.door.perform(listAuditorLinks, who, {});
  }

  @Handles(reportsRoutes.revokeAuditorLink)
  revokeAuditorLink(@Asker() who: Who, @Input() input: InputOf<typeof reportsRoutes.revokeAuditorLink>) {
    return this.door.perform(revokeAuditorLink, who, input);
  }

  /** The pictures that the paper shows, newest deficiencies first; one whose bytes are gone is named there as missing. */
  private async picturesOf(who: Who, report: SiteReport): Promise<Map<string, Uint8Array>> {
    const wanted = report.deficiencies.flatMap((row) => row.photos.map((photo) => photo.attachmentId)).slice(0, PICTURES_MOST);
    const found = new Map<string, Uint8Array>();
    for (const id of wanted) {
      const picture = await pictureBytes(this.door, who, id).catch((error: unknown) => { if (error instanceof Refusal) return null; throw error; });
      if (picture) found.set(id, picture.content);
    }
    return found;
  }

  @Handles(findRoutes.find)
  find(@Asker() who: Who, @Input() input: InputOf<typeof findRoutes.find>) {
    return this.door.perform(find, who, input);
  }
}

/** The paper with its name, and with pictures unless it leaves the house; never kept by a cache that others share. */
export async function asPaper(reply: FastifyReply, report: SiteReport, pictures: ReadonlyMap<string, Uint8Array> | null): Promise<StreamableFile> {
  const name = report.site.name.replaceAll(/[^\p{L}\p{N}]+/gu, '-').replaceAll(/^-|-$/g, '').toLowerCase();
  const plain = name.normalize('NFKD').replaceAll(/[^a-z0-9-]/g, '') || 'site';
  void reply.header('cache-control', 'private, no-store');
  return new StreamableFile(await reportPaper(report, pictures), { type: 'application/pdf', disposition: `attachment; filename="${plain}-${report.site.asOf}.pdf"` });
}
