import { Controller, Inject, Res, StreamableFile } from '@nestjs/common';
import { visitsRoutes, type InputOf } from '@bellround/contracts';
import {
  listVisits, myRound, showPick, showVisit, createVisit, openVisit, openHold, extendHold, closeHold, openHolds, recordCheck,
  recordChecks, correctCheck, putBackDone, handOver, putBackByName, liveProof, signVisit, stopVisit, closeVisit, recordAttempt, leftSite, replacePart, keepInstrument, uploadAttachment, type Who,
} from '@bellround/operations';
import type { FastifyReply } from 'fastify';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';
import { pictureKey } from '../pictures/picture-store.js';
import { pictureBytes, pictureOf } from './picture.js';

@Controller()
export class VisitsController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(visitsRoutes.listVisits)
  listVisits(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.listVisits>) {
    return this.door.perform(listVisits, who, input);
  }

  @Handles(visitsRoutes.myRound)
  myRound(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.myRound>) {
    return this.door.perform(myRound, who, input);
  }

  @Handles(visitsRoutes.showVisit)
  showVisit(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.showVisit>) {
    return this.door.perform(showVisit, who, input);
  }

  @Handles(visitsRoutes.showPick)
  showPick(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.showPick>) {
    return this.door.perform(showPick, who, input);
  }

  @Handles(visitsRoutes.createVisit)
  createVisit(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.createVisit>) {
    return this.door.perform(createVisit, who, input);
  }

  @Handles(visitsRoutes.openVisit)
  openVisit(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.openVisit>) {
    return this.door.perform(openVisit, who, input);
  }

  @Handles(visitsRoutes.openHold)
  openHold(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.openHold>) {
    return this.door.perform(openHold, who, input);
  }

  @Handles(visitsRoutes.extendHold)
  extendHold(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.extendHold>) {
    return this.door.perform(extendHold, who, input);
  }

  @Handles(visitsRoutes.closeHold)
  closeHold(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.closeHold>) {
    return this.door.perform(closeHold, who, input);
  }

  @Handles(visitsRoutes.openHolds)
  openHolds(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.openHolds>) {
    return this.door.perform(openHolds, who, input);
  }

  @Handles(visitsRoutes.recordCheck)
  recordCheck(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.recordCheck>) {
    return this.door.perform(recordCheck, who, input);
  }

  @Handles(visitsRoutes.recordChecks)
  recordChecks(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.recordChecks>) {
    return this.door.perform(recordChecks, who, input);
  }

  @Handles(visitsRoutes.correctCheck)
  correctCheck(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.correctCheck>) {
    return this.door.perform(correctCheck, who, input);
  }

  @Handles(visitsRoutes.putBackDone)
  putBackDone(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.putBackDone>) {
    return this.door.perform(putBackDone, who, input);
  }

  @Handles(visitsRoutes.handOver)
  handOver(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.handOver>) {
    return this.door.perform(handOver, who, input);
  }

  @Handles(visitsRoutes.putBackByName)
  putBackByName(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.putBackByName>) {
    return this.door.perform(putBackByName, who, input);
  }

  @Handles(visitsRoutes.liveProof)
  liveProof(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.liveProof>) {
    return this.door.perform(liveProof, who, input);
  }

  @Handles(visitsRoutes.signVisit)
  signVisit(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.signVisit>) {
    return this.door.perform(signVisit, who, input);
  }

  @Handles(visitsRoutes.stopVisit)
  stopVisit(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.stopVisit>) {
    return this.door.perform(stopVisit, who, input);
  }

  @Handles(visitsRoutes.closeVisit)
  closeVisit(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.closeVisit>) {
    return this.door.perform(closeVisit, who, input);
  }

  @Handles(visitsRoutes.recordAttempt)
  recordAttempt(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.recordAttempt>) {
    return this.door.perform(recordAttempt, who, input);
  }

  @Handles(visitsRoutes.leftSite)
  leftSite(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.leftSite>) {
    return this.door.perform(leftSite, who, input);
  }

  @Handles(visitsRoutes.replacePart)
  replacePart(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.replacePart>) {
    return this.door.perform(replacePart, who, input);
  }

  @Handles(visitsRoutes.keepInstrument)
  keepInstrument(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.keepInstrument>) {
    return this.door.perform(keepInstrument, who, input);
  }

  @Handles(visitsRoutes.uploadAttachment)
  async uploadAttachment(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.uploadAttachment>) {
    const { id, content, digest, mime } = pictureOf(input);
    // The bytes first: what is on record can always be shown. Bytes whose record is refused harm nobody.
    await this.door.pictures.put(pictureKey(who.companyId, digest), content, mime);
    return this.door.perform(uploadAttachment, who, { id, digest, mime, bytes: content.length });
  }

  @Handles(visitsRoutes.attachment)
  async attachment(@Asker() who: Who, @Input() input: InputOf<typeof visitsRoutes.attachment>, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    const picture = await pictureBytes(this.door, who, input.attachmentId);
    reply.header('cache-control', 'private, max-age=86400');
    return new StreamableFile(picture.content, { type: picture.mime, disposition: 'inline' });
  }
}
