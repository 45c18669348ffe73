import type { FastifyReply, FastifyRequest } from 'fastify';

const NAME = 'bellround_session';

export function readSessionCookie(request: FastifyRequest): string | null {
  return request.cookies[NAME] ?? null;
}

/** HttpOnly and SameSite=Strict: no script and no other site can use it. Secure wherever the app is reached by https. */
export function setSessionCookie(reply: FastifyReply, secret: string, endsAt: Date, secure: boolean): void {
  void reply.setCookie(NAME, secret, { httpOnly: true, sameSite: 'strict', secure, path: '/', expires: endsAt });
}

export function clearSessionCookie(reply: FastifyReply): void {
  void reply.clearCookie(NAME, { path: '/' });
}
