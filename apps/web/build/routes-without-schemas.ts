import { parseAstAsync, type Plugin } from 'vite';

interface Node { readonly type: string; readonly start: number; readonly end: number; readonly [key: string]: unknown }
interface Edit { readonly start: number; readonly end: number; readonly text: (old: string) => string }
const isNode = (value: unknown): value is Node => typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

/**
 * The web asks by a route's path and never reads its schemas, which the house holds every question and answer against. The built
 * app leaves them out, 12 KiB of its first load. What contracts build at their top level is marked as free of effects (the package is
 * pure), so that a schema which nothing names any more goes too.
 */
export function routesWithoutSchemas(): Plugin {
  return {
    name: 'bellround-routes-without-schemas',
    apply: 'build',
    enforce: 'pre',
    async transform(code, id) {
      if (!/\/packages\/contracts\/src\/[\w-]+\.ts$/.test(id)) return null;
      const program = await parseAstAsync(code, { lang: 'ts' }) as unknown as Node;
      const edits = [...schemasOfRoutes(program), ...builtAtTop(program)];
      return { code: edited(code, 0, code.length, edits), map: null };
    },
  };
}

function schemasOfRoutes(node: Node): Edit[] {
  const inside = Object.values(node).flatMap((value) => (Array.isArray(value) ? value : [value])).filter(isNode).flatMap(schemasOfRoutes);
  if (node.type !== 'CallExpression' || (node['callee'] as { name?: string }).name !== 'route') return inside;
  const [declared] = node['arguments'] as Node[];
  const properties = declared?.type === 'ObjectExpression' ? declared['properties'] as { key?: { name?: string }; value?: Node }[] : [];
  return properties.flatMap(({ key, value }) => (value && (key?.name === 'input' || key?.name === 'output') ? [{ start: value.start, end: value.end, text: () => 'null as never' }] : []));
}

/** `const Site = z.object({ ... })` and its like: dropped where nothing names them. */
function builtAtTop(program: Node): Edit[] {
  return (program['body'] as Node[])
    .map((one) => (one.type === 'ExportNamedDeclaration' ? one['declaration'] as Node | null : one))
    .flatMap((one) => (one?.type === 'VariableDeclaration' ? one['declarations'] as { init: Node | null }[] : []))
    .flatMap(({ init }) => (init?.type === 'CallExpression' ? [{ start: init.start, end: init.end, text: (old: string) => `/* @__PURE__ */ (() => ${old})()` }] : []));
}

/** The text from `from` to `to` with its edits, those inside another first. */
function edited(code: string, from: number, to: number, edits: readonly Edit[]): string {
  const outer = edits.filter((one) => !edits.some((other) => other !== one && other.start <= one.start && one.end <= other.end)).toSorted((a, b) => a.start - b.start);
  let text = '';
  let at = from;
  for (const one of outer) {
    const inner = edits.filter((other) => other !== one && one.start <= other.start && other.end <= one.end);
    text += code.slice(at, one.start) + one.text(edited(code, one.start, one.end, inner));
    at = one.end;
  }
  return text + code.slice(at, to);
}
