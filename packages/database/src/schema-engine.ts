import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';
import { PrismaPg } from '@prisma/adapter-pg';
import * as glue from '@prisma/schema-engine-wasm/schema_engine_bg';
import type { SchemaEngine } from '@prisma/schema-engine-wasm/schema_engine_bg';

// Node has it; Node's type package of this major does not say so, and the DOM's types would let browser globals in.
declare const WebAssembly: {
  compile(bytes: Uint8Array): Promise<object>;
  instantiate(module: object, imports: Record<string, unknown>): Promise<{ exports: Record<string, unknown> }>;
};

const FILTERS = { externalTables: [], externalEnums: [] };
let loaded: Promise<void> | null = null;

/** Loads the engine's WebAssembly once; it needs no binary of its own. */
function load(): Promise<void> {
  loaded ??= (async () => {
    const folder = dirname(createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm'));
    const module = await WebAssembly.compile(await readFile(join(folder, 'schema_engine_bg.wasm')));
    const instance = await WebAssembly.instantiate(module, { './schema_engine_bg.js': glue });
    glue.__wbg_set_wasm(instance.exports);
    (instance.exports['__wbindgen_start'] as () => void)();
  })();
  return loaded;
}

async function withEngine<T>(url: string, schema: string | null, act: (engine: SchemaEngine) => Promise<T>): Promise<T> {
  await load();
  const factory = bindMigrationAwareSqlAdapterFactory(new PrismaPg({ connectionString: url }));
  const engine = await glue.SchemaEngine.new({ datamodels: schema === null ? undefined : [['schema.prisma', schema]] }, () => undefined, factory);
  try {
    return await act(engine);
  } finally {
    engine.free();
  }
}

/** The SQL that makes an empty database into `schema`. `url` is any reachable database; nothing is changed there. */
export async function schemaAsSql(url: string, schema: string): Promise<string> {
  return withEngine(url, schema, async (engine) => {
    const to = { tag: 'schemaDatamodel' as const, files: [{ path: 'schema.prisma', content: schema }] };
    return (await engine.diff({ from: { tag: 'empty' }, to, script: true, exitCode: null, filters: FILTERS })).stdout ?? '';
  });
}
