import { applyDecorators, createParamDecorator, HttpCode, RequestMapping, RequestMethod, SetMetadata, type ExecutionContext } from '@nestjs/common';
import type { Route } from '@bellround/contracts';
import type { Who } from '@bellround/operations';
import type { FastifyRequest } from 'fastify';

export const ROUTE = 'bellround:route';

/** What the door's guard leaves on a request for the controller. */
export interface Taken { who: Who; sessionHash: string; input: unknown }
export type TakenRequest = FastifyRequest & { taken?: Taken };

/** Binds a controller method to a declared route: its path, method, permission, validation and documentation. */
export function Handles(route: Route): MethodDecorator {
  return applyDecorators(
    RequestMapping({ path: route.path, method: route.method === 'GET' ? RequestMethod.GET : RequestMethod.POST }),
    HttpCode(200),
    SetMetadata(ROUTE, route),
  );
}

const taken = (context: ExecutionContext): Taken => {
  const request = context.switchToHttp().getRequest<TakenRequest>();
  if (!request.taken) throw new Error('a controller method without @Handles was reached');
  return request.taken;
};

/** The validated input of the route. */
export const Input = createParamDecorator((_: unknown, context: ExecutionContext) => taken(context).input);
/** Who is signed in. */
export const Asker = createParamDecorator((_: unknown, context: ExecutionContext) => taken(context).who);
/** SHA-256 of the session cookie's secret. */
export const SessionHash = createParamDecorator((_: unknown, context: ExecutionContext) => taken(context).sessionHash);
