import { Controller, Inject, Res } from '@nestjs/common';
import { entryCodesRoutes, type InputOf, type RevealedCode } from '@bellround/contracts';
import { endEntryCode, leaverReport, listEntryCodes, revealEntryCode, setEntryCode, type Who } from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { placeOf, sealFrom } from './sealing.js';

@Controller()
export class EntryCodesController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(entryCodesRoutes.entryCodes)
  codes(@Asker() who: Who, @Input() input: InputOf<typeof entryCodesRoutes.entryCodes>) {
    return this.door.perform(listEntryCodes, who, input);
  }

  @Handles(entryCodesRoutes.setEntryCode)
  set(@Asker() who: Who, @Input() { code, ...input }: InputOf<typeof entryCodesRoutes.setEntryCode>) {
    const seal = sealFrom(this.door.settings);
    const place = placeOf(who.companyId, input.keyId);
    return this.door.perform(setEntryCode, who, { ...input, sealed: seal.seal(code, place), digest: seal.digest(code, place) });
  }

  @Handles(entryCodesRoutes.endEntryCode)
  end(@Asker() who: Who, @Input() input: InputOf<typeof entryCodesRoutes.endEntryCode>) {
    return this.door.perform(endEntryCode, who, input);
  }

  /** The sight is recorded before the text is opened: a fault in between shows nothing. */
  @Handles(entryCodesRoutes.revealEntryCode)
  async reveal(@Asker() who: Who, @Input() input: InputOf<typeof entryCodesRoutes.revealEntryCode>, @Res({ passthrough: true }) reply: FastifyReply): Promise<RevealedCode> {
    const seal = sealFrom(this.door.settings);
    const { sealed, ...shown } = await this.door.perform(revealEntryCode, who, input);
    void reply.header('cache-control', 'no-store');
    return { ...shown, code: seal.open(sealed, placeOf(who.companyId, shown.keyId)) };
  }

  @Handles(entryCodesRoutes.leaverReport)
  leaver(@Asker() who: Who, @Input() input: InputOf<typeof entryCodesRoutes.leaverReport>) {
    return this.door.perform(leaverReport, who, input);
  }
}
