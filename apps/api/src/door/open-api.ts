import { allRoutes, ProblemDocument, PROBLEMS, type Route } from '@bellround/contracts';
import { z } from 'zod';

/** OpenAPI 3.1 of every declared route, from the same schemas that validate. */
export function openApi(): object {
  const paths: Record<string, Record<string, unknown>> = {};
  for (const route of allRoutes) {
    const path = route.path.replace(/:(\w+)/g, '{$1}');
    (paths[path] ??= {})[route.method.toLowerCase()] = operation(route);
  }
  return {
    openapi: '3.1.0',
    info: { title: 'Bellround', version: '1', description: 'Proves, site by site, that every monitored alarm system was tested on time and works. Local codes and licensed practice prevail. Not an alarm-receiving centre: nothing here dispatches anybody.' },
    components: {
      securitySchemes: { session: { type: 'apiKey', in: 'cookie', name: 'bellround_session' } },
      schemas: { Problem: z.toJSONSchema(ProblemDocument, { io: 'output' }) },
    },
    paths,
  };
}

function operation(route: Route): object {
  const input = z.toJSONSchema(route.input, { io: 'input', unrepresentable: 'any' }) as { properties?: Record<string, unknown>; required?: string[] };
  const inPath = [...route.path.matchAll(/:(\w+)/g)].map((match) => match[1]!);
  const properties = Object.entries(input.properties ?? {});
  const parameter = (name: string, where: string) => ({ name, in: where, required: where === 'path' || (input.required ?? []).includes(name), schema: input.properties?.[name] ?? { type: 'string' } });
  const parameters = [
    ...inPath.map((name) => parameter(name, 'path')),
    ...(route.method === 'GET' || route.carries === 'upload' ? properties.filter(([name]) => !inPath.includes(name)).map(([name]) => parameter(name, 'query')) : []),
  ];
  const body = Object.fromEntries(properties.filter(([name]) => !inPath.includes(name)));
  const requestBody = route.carries === 'upload'
    ? { required: true, content: { 'text/csv': { schema: { type: 'string' } } } }
    : route.method === 'POST' ? { required: true, content: { 'application/json': { schema: { ...input, properties: body, required: (input.required ?? []).filter((name) => !inPath.includes(name)) } } } } : undefined;
  const answers = { json: 'application/json', upload: 'application/json', csv: 'text/csv', calendar: 'text/calendar', events: 'text/event-stream', image: 'image/*', pdf: 'application/pdf' } as const;
  const schema = route.carries === 'json' || route.carries === 'upload' ? z.toJSONSchema(route.output, { io: 'output', unrepresentable: 'any' }) : { type: 'string' };
  const problems = [...new Set(['BadInput' as const, ...(route.may ? (['NotSignedIn', 'NotAllowed'] as const) : []), ...route.problems])];
  const statuses = new Map<number, string[]>();
  for (const name of problems) statuses.set(PROBLEMS[name].status, [...(statuses.get(PROBLEMS[name].status) ?? []), `${name}: ${PROBLEMS[name].title}`]);
  return {
    operationId: route.name, summary: route.summary, security: route.may ? [{ session: [] }] : [],
    ...(route.may ? { description: `Needs permission '${route.may}'.` } : {}),
    parameters, ...(requestBody ? { requestBody } : {}),
    responses: {
      200: { description: 'Done', content: { [answers[route.carries]]: { schema } } },
      ...Object.fromEntries([...statuses].map(([status, lines]) => [status, { description: lines.join('\n'), content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } } }])),
    },
  };
}
