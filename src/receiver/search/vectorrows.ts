/**
 * The arithmetic of the search with vector instructions, where the machine has WebAssembly with them and the page allows it.
 */
import type { RowSettings, TakeRows } from './rowsettings.js';
import { VECTOR_MODULE } from './vectormodule.js';

/** WebAssembly counts memory in these. */
const PAGE_BYTES = 1 << 16;

type Exports = { readonly take: TakeRows } & Readonly<Record<keyof RowSettings, { value: number }>>;

let compiled: WebAssembly.Module | undefined;

const compile = () =>
  new WebAssembly.Module(
    Uint8Array.from({ length: VECTOR_MODULE.length / 2 }, (_, i) =>
      parseInt(VECTOR_MODULE.slice(2 * i, 2 * i + 2), 16),
    ),
  );

/** Memory of at least so many bytes and what works on it; nothing where it can't be had. */
export function createVectorRows(
  settings: RowSettings,
  bytes: number,
): { buffer: ArrayBuffer; take: TakeRows } | undefined {
  try {
    compiled ??= compile();
    const memory = new WebAssembly.Memory({ initial: Math.ceil(bytes / PAGE_BYTES) });
    const { take, ...globals } = new WebAssembly.Instance(compiled, { env: { memory } }).exports as Exports;
    for (const name of Object.keys(settings) as (keyof RowSettings)[]) globals[name].value = settings[name];
    return { buffer: memory.buffer, take };
  } catch {
    // No vector instructions, or a content security policy that forbids WebAssembly.
    return undefined;
  }
}
