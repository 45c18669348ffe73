import { Refusal, type MessageRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { later, note, own } from '../steps.js';
import { messageRow } from './steps.js';

/** Puts a failed or kept mail back in line, to the site's present contact when it had no address. */
export const sendAgain: Act<{ messageId: string }, MessageRow> = async (ctx, { messageId }) => {
  const message = await ctx.tx.db.message.findUnique({ where: { companyId_id: { ...own(ctx), id: messageId } } });
  if (!message) throw new Refusal('NotFound', 'There is no message by that id.');
  if (message.state === 'waiting' || message.state === 'sending') return messageRow(message);
  if (message.state === 'sent') throw new Refusal('WrongState', 'This message was sent already.');
  const address = message.toEmail || (await presentAddress(ctx, message.siteId));
  if (!address) throw new Refusal('WrongState', 'There is still no e-mail address: add a contact who permits entry to the site first.');
  const queued = await ctx.tx.db.message.update({ where: { companyId_id: { ...own(ctx), id: messageId } }, data: { state: 'waiting', attempts: 0, lastError: null, toEmail: address } });
  await note(ctx, { act: 'send-again', about: 'message', id: messageId, siteId: message.siteId, summary: `${message.subject}: in line again` });
  await later(ctx, 'send-messages', {});
  return messageRow(queued);
};

async function presentAddress(ctx: Parameters<typeof sendAgain>[0], siteId: string | null): Promise<string | null> {
  if (!siteId) return null;
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } }, include: { client: true, contacts: { where: { validTo: null, email: { not: null } }, orderBy: { name: 'asc' } } } });
  const entry = site?.contacts.find((contact) => contact.roles.includes('permits-entry')) ?? site?.contacts[0];
  return entry?.email ?? site?.client.email ?? null;
}
