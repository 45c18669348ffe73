import { Controller, Inject, Req, Res } from '@nestjs/common';
import { identityRoutes, Refusal, type InputOf, type Me } from '@bellround/contracts';
import { addUser, closeSession, disableUser, listActivity, listUsers, openSession, whoAmI, type Who } from '@bellround/operations';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { randomBytes } from 'node:crypto';
import { DOOR, type Door } from '../door/door.js';
import { Asker, Handles, Input, SessionHash } from '../door/handles.js';
import { clearSessionCookie, setSessionCookie } from '../door/session-cookie.js';
import { hashPassword, verifyAny } from './passwords.js';

const MINUTE = 60_000;
/** bad tries allowed in 15 minutes, for one e-mail and for one address (OWASP authentication guidance recommends both; numbers are a company rule) */
const TRIES = { email: 8, address: 40 };

@Controller()
export class IdentityController {
  constructor(@Inject(DOOR) private readonly door: Door) {}

  @Handles(identityRoutes.signIn)
  async signIn(@Input() input: InputOf<typeof identityRoutes.signIn>, @Req() request: FastifyRequest, @Res({ passthrough: true }) reply: FastifyReply): Promise<Me> {
    const keys = { email: this.door.tools.sha256(`email:${input.email}`), address: this.door.tools.sha256(`address:${request.ip}`) };
    await this.refuseTooMany(keys);
    const candidates = (await this.door.signInCandidates(input.email)).filter((one) => !input.company || one.companySlug === input.company);
    const good = await verifyAny(candidates, input.password);
    if (good.length === 0) {
      await Promise.all(Object.values(keys).map((key) => this.door.recordTry(key, false)));
      throw new Refusal('SignInRefused', 'E-mail or password is wrong. Both are checked together; nothing more is said on purpose.');
    }
    if (good.length > 1) {
      throw new Refusal('ChooseCompany', 'This e-mail belongs to several companies; say which.', { data: { companies: good.map((one) => ({ slug: one.companySlug, name: one.companyName })) } });
    }
    await this.door.recordTry(keys.email, true);
    const secret = randomBytes(32).toString('base64url');
    const { companyId, userId } = good[0]!;
    const me = await this.door.perform(openSession, { companyId, userId, name: input.email, role: 'house', technicianId: null }, { userId, tokenHash: this.door.tools.sha256(secret) });
    setSessionCookie(reply, secret, new Date(me.sessionEndsAt), this.door.settings.PUBLIC_URL?.startsWith('https:') ?? false);
    return me;
  }

  @Handles(identityRoutes.signOut)
  async signOut(@Asker() who: Who, @SessionHash() tokenHash: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<object> {
    clearSessionCookie(reply);
    return this.door.perform(closeSession, who, { tokenHash });
  }

  @Handles(identityRoutes.me)
  me(@Asker() who: Who, @SessionHash() tokenHash: string): Promise<Me> {
    return this.door.perform(whoAmI, who, { tokenHash });
  }

  @Handles(identityRoutes.listUsers)
  listUsers(@Asker() who: Who) {
    return this.door.perform(listUsers, who, {});
  }

  @Handles(identityRoutes.addUser)
  async addUser(@Asker() who: Who, @Input() { password, ...input }: InputOf<typeof identityRoutes.addUser>) {
    return this.door.perform(addUser, who, { ...input, passwordHash: await hashPassword(password) });
  }

  @Handles(identityRoutes.disableUser)
  disableUser(@Asker() who: Who, @Input() input: InputOf<typeof identityRoutes.disableUser>) {
    return this.door.perform(disableUser, who, input);
  }

  @Handles(identityRoutes.activity)
  activity(@Asker() who: Who, @Input() input: InputOf<typeof identityRoutes.activity>) {
    return this.door.perform(listActivity, who, input);
  }

  private async refuseTooMany(keys: { email: string; address: string }): Promise<void> {
    const since = new Date(this.door.tools.now().getTime() - 15 * MINUTE);
    const [email, address] = await Promise.all([this.door.badTries(keys.email, since), this.door.badTries(keys.address, since)]);
    if (email >= TRIES.email || address >= TRIES.address) throw new Refusal('TooMany', 'Too many wrong tries. Wait 15 minutes, or ask an owner of your company.');
  }
}
