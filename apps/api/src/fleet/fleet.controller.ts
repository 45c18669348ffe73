import { PassThrough, type Readable } from 'node:stream';
import { once } from 'node:events';
import { Controller, Inject, Req, Res, StreamableFile } from '@nestjs/common';
import { firstRunRoutes, fleetRoutes, sampleCsv, sampleFleetCsv, type InputOf } from '@bellround/contracts';
import { addBlackout, dropImport, editSite, exportFleet, exportProblems, importFile, keepContact, listImports, listSites, removeBlackout, showFirstRun, showImport, showSite, type Who } from '@bellround/operations';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { uploadedFile } from './upload.js';

@Controller()
export class FleetController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(fleetRoutes.uploadImport)
  upload(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.uploadImport>, @Req() request: FastifyRequest) {
    return this.door.perform.bulk(importFile, who, { ...input, file: uploadedFile(request.body) });
  }

  @Handles(fleetRoutes.dropImport)
  drop(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.dropImport>) {
    return this.door.perform(dropImport, who, input);
  }

  @Handles(fleetRoutes.listImports)
  imports(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.listImports>) {
    return this.door.perform(listImports, who, input);
  }

  @Handles(fleetRoutes.importRun)
  importRun(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.importRun>) {
    return this.door.perform(showImport, who, input);
  }

  @Handles(fleetRoutes.importSample)
  sample(@Input() { kind, of }: InputOf<typeof fleetRoutes.importSample>, @Res({ passthrough: true }) reply: FastifyReply): string {
    asCsv(reply, `sample-${kind}.csv`);
    return of === 'small-company' ? sampleFleetCsv(kind) : sampleCsv(kind);
  }

  @Handles(firstRunRoutes.firstRun)
  firstRun(@Asker() who: Who) {
    return this.door.perform(showFirstRun, who, {});
  }

  @Handles(fleetRoutes.exportProblems)
  async problems(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.exportProblems>, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const text = await this.door.perform(exportProblems, who, input);
    asCsv(reply, 'held-rows.csv');
    return text;
  }

  @Handles(fleetRoutes.exportFleet)
  export(@Asker() who: Who, @Input() { kind }: InputOf<typeof fleetRoutes.exportFleet>, @Res({ passthrough: true }) reply: FastifyReply): StreamableFile {
    asCsv(reply, `${kind}.csv`);
    return new StreamableFile(this.streamed((write) => this.door.perform.bulk(exportFleet, who, { kind, write })));
  }

  @Handles(fleetRoutes.listSites)
  sites(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.listSites>) {
    return this.door.perform(listSites, who, input);
  }

  @Handles(fleetRoutes.site)
  site(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.site>) {
    return this.door.perform(showSite, who, input);
  }

  @Handles(fleetRoutes.editSite)
  editSite(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.editSite>) {
    return this.door.perform(editSite, who, input);
  }

  @Handles(fleetRoutes.keepContact)
  keepContact(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.keepContact>) {
    return this.door.perform(keepContact, who, input);
  }

  @Handles(fleetRoutes.addBlackout)
  addBlackout(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.addBlackout>) {
    return this.door.perform(addBlackout, who, input);
  }

  @Handles(fleetRoutes.removeBlackout)
  removeBlackout(@Asker() who: Who, @Input() input: InputOf<typeof fleetRoutes.removeBlackout>) {
    return this.door.perform(removeBlackout, who, input);
  }

  // A failure half-way breaks the connection, so that a half-written file is never taken for a whole one.
  private streamed(write: (into: (piece: string) => Promise<void>) => Promise<unknown>): Readable {
    const out = new PassThrough();
    const into = async (piece: string): Promise<void> => {
      if (out.destroyed) throw new Error('the reader went away');
      if (!out.write(piece)) await Promise.race([once(out, 'drain'), once(out, 'close')]);
    };
    write(into).then(() => out.end(), (error: unknown) => out.destroy(error as Error));
    return out;
  }
}

function asCsv(reply: FastifyReply, name: string): void {
  void reply.header('content-type', 'text/csv; charset=utf-8').header('content-disposition', `attachment; filename="${name}"`);
}
