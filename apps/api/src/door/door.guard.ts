import { Inject, Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import { fieldFaults, textFaults, PERMISSIONS, Refusal, type Role, type Route } from '@bellround/contracts';
import type { Who } from '@bellround/operations';
import { DOOR, type Door } from './door.js';
import { ROUTE, type TakenRequest } from './handles.js';
import { readSessionCookie } from './session-cookie.js';

const NOBODY: Who = { companyId: '00000000-0000-0000-0000-000000000000', userId: null, name: '', role: 'house', technicianId: null };

/** Establishes who asks, whether they may, and that the input is as declared: before any controller runs. */
@Injectable()
export class DoorGuard implements CanActivate {
  constructor(@Inject(Reflector) private readonly reflector: Reflector, @Inject(DOOR) private readonly door: Door) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const route = this.reflector.get<Route | undefined>(ROUTE, context.getHandler());
    if (!route) throw new Refusal('NotFound', 'There is nothing at this address.');
    const request = context.switchToHttp().getRequest<TakenRequest>();
    const session = route.may === null ? { who: NOBODY, hash: '' } : await this.session(request, route);
    request.taken = { who: session.who, sessionHash: session.hash, input: validated(route, request) };
    return true;
  }

  private async session(request: TakenRequest, route: Route): Promise<{ who: Who; hash: string }> {
    const secret = readSessionCookie(request);
    const session = secret ? await this.door.sessionOf(this.door.tools.sha256(secret)) : null;
    if (!session) throw new Refusal('NotSignedIn', 'Your session has ended or was never opened. Sign in and try again; what you entered is kept.');
    const allowed: readonly Role[] = PERMISSIONS[route.may!];
    if (!allowed.includes(session.who.role as Role)) {
      throw new Refusal('NotAllowed', `${session.who.role} may not do this; it is for: ${allowed.join(', ')}.`);
    }
    return session;
  }
}

function validated(route: Route, request: TakenRequest): unknown {
  const body = route.method === 'POST' && route.carries !== 'upload' ? (request.body ?? {}) : {};
  if (typeof body !== 'object' || Array.isArray(body)) throw new Refusal('BadInput', 'The body must be a JSON object.');
  const raw = { ...(request.query as object), ...(body as object), ...(request.params as object) };
  const parsed = route.input.safeParse(raw);
  const errors = parsed.success ? textFaults(parsed.data) : fieldFaults(parsed.error);
  if (parsed.success && errors.length === 0) return parsed.data;
  throw new Refusal('BadInput', errors.map((fault) => `${fault.path}: ${fault.message}`).join('; '), { errors });
}
