import { randomBytes } from 'node:crypto';
import { Controller, Inject } from '@nestjs/common';
import { receiversRoutes, Refusal, type InputOf } from '@bellround/contracts';
import { endReceiverKey, keepReceiver, listReceivers, retireReceiver, setReceiverKey, type Who } from '@bellround/operations';
import { digestOfKey, NONCE_BYTES, sealKey } from '@bellround/signals';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class ReceiversController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(receiversRoutes.listReceivers)
  list(@Asker() who: Who, @Input() input: InputOf<typeof receiversRoutes.listReceivers>) {
    return this.door.perform(listReceivers, who, input);
  }

  @Handles(receiversRoutes.keepReceiver)
  keep(@Asker() who: Who, @Input() input: InputOf<typeof receiversRoutes.keepReceiver>) {
    return this.door.perform(keepReceiver, who, input);
  }

  @Handles(receiversRoutes.retireReceiver)
  retire(@Asker() who: Who, @Input() input: InputOf<typeof receiversRoutes.retireReceiver>) {
    return this.door.perform(retireReceiver, who, input);
  }

  @Handles(receiversRoutes.setReceiverKey)
  setKey(@Asker() who: Who, @Input() { key, ...input }: InputOf<typeof receiversRoutes.setReceiverKey>) {
    const secret = this.door.settings.CODE_KEY ?? this.door.settings.LEDGER_KEY;
    if (!secret) throw new Refusal('Unavailable', 'No key is set to seal receiver keys with. Set CODE_KEY or LEDGER_KEY (64 hex digits each); `npm start` makes one and keeps it.');
    // Bound to its company and row, so that a row copied elsewhere opens nothing.
    const place = `${who.companyId}/${input.id}`;
    return this.door.perform(setReceiverKey, who, { ...input, bits: key.length * 4, sealed: sealKey(secret, place, key, randomBytes(NONCE_BYTES)), digest: digestOfKey(secret, `${who.companyId}/${input.receiverId}/${input.account}`, key) });
  }

  @Handles(receiversRoutes.endReceiverKey)
  endKey(@Asker() who: Who, @Input() input: InputOf<typeof receiversRoutes.endReceiverKey>) {
    return this.door.perform(endReceiverKey, who, input);
  }
}
