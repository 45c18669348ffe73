import { Controller, Inject } from '@nestjs/common';
import { proofRoutes, Refusal, type InputOf } from '@bellround/contracts';
import { exportBundle, ledgerState, type Who } from '@bellround/operations';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input } from '../door/handles.js';

@Controller()
export class ProofController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(proofRoutes.exportBundle)
  exportBundle(@Asker() who: Who, @Input() input: InputOf<typeof proofRoutes.exportBundle>) {
    return this.door.perform(exportBundle, who, { ...input, ledgerKey: this.ledgerKey() });
  }

  @Handles(proofRoutes.ledgerState)
  ledgerState(@Asker() who: Who) {
    return this.door.perform(ledgerState, who, { ledgerKey: this.door.settings.LEDGER_KEY ?? null });
  }

  private ledgerKey(): string {
    const key = this.door.settings.LEDGER_KEY;
    if (!key) throw new Refusal('Unavailable', 'No ledger key is set, so nothing can be signed. Set LEDGER_KEY (64 hex digits); `npm start` makes one and keeps it.');
    return key;
  }
}
