import { Inject, Injectable } from '@nestjs/common';
import { JOBS } from '@bellround/contracts';
import { claimMessages, settleMessage, type ClaimedMessage } from '@bellround/operations';
import { createTransport, type Transporter } from 'nodemailer';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';

/** Mails sent in one run of the job before it makes room for other companies' runs. */
const MOST_PER_RUN = 500;

/**
 * Sends what is owed, one mail at a time: claim (committed), hand over, mark. A worker killed before the server accepted
 * a mail leaves the claim, and the next worker sends it after the lease. Killed between acceptance and mark, the mail is
 * sent again under the same Message-ID, by which mail stores know a duplicate (RFC 5322 section 3.6.4): no reminder is lost.
 */
@Injectable()
export class SendMessagesProcessor implements Processor<typeof JOBS.sendMessages.payload> {
  readonly job = JOBS.sendMessages;
  readonly concurrency = 1;
  private transport: Transporter | null = null;

  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId }: { companyId: string }): Promise<void> {
    const { perform, settings, houseOf } = this.workshop;
    const house = houseOf(companyId);
    let again = 0;
    for (let sent = 0; sent < MOST_PER_RUN; sent++) {
      const [message] = await perform(claimMessages, house, { most: 1, leaseS: settings.MAIL_LEASE_S });
      if (!message) break;
      const outcome = await this.send(message);
      const settled = await perform(settleMessage, house, { id: message.id, ...outcome });
      if (settled.again) { again += 1; break; } // the server refuses now: wait for the next run instead of hammering it
    }
    if (again > 0) throw new Error('the mail server refused; trying again later');
  }

  private async send(message: ClaimedMessage): Promise<{ outcome: 'sent' | 'kept' | 'refused'; error?: string }> {
    if (!this.workshop.settings.SMTP_URL) return { outcome: 'kept' };
    this.transport ??= createTransport(this.workshop.settings.SMTP_URL);
    try {
      await this.transport.sendMail({
        messageId: `<${message.id}@bellround>`, from: this.workshop.settings.MAIL_FROM, to: { name: message.toName, address: message.toEmail },
        subject: message.subject, text: message.body, headers: { 'Auto-Submitted': 'auto-generated' },
      });
      return { outcome: 'sent' };
    } catch (error) {
      return { outcome: 'refused', error: (error as Error).message };
    }
  }
}
