/**
 * WebAssembly with vector instructions, where the machine has it and the page allows it.
 */

/** WebAssembly counts memory in these. */
const PAGE_BYTES = 1 << 16;

/** An instance of a module, and its memory. */
export interface VectorInstance {
  readonly buffer: ArrayBuffer;
  readonly exports: WebAssembly.Exports;
}

/**
 * A module that is compiled when it is first needed.
 *
 * @param text - the module in base 16
 * @returns makes an instance of it, with memory of at least so many bytes; nothing where it can't be had
 */
export function createVectorModule(text: string): (bytes: number) => VectorInstance | undefined {
  let compiled: WebAssembly.Module | undefined;
  const compile = () =>
    new WebAssembly.Module(
      Uint8Array.from({ length: text.length / 2 }, (_, i) => parseInt(text.slice(2 * i, 2 * i + 2), 16)),
    );
  return (bytes) => {
    try {
      compiled ??= compile();
      const memory = new WebAssembly.Memory({ initial: Math.ceil(bytes / PAGE_BYTES) });
      const { exports } = new WebAssembly.Instance(compiled, { env: { memory } });
      return { buffer: memory.buffer, exports };
    } catch {
      // No vector instructions, or a content security policy that forbids WebAssembly.
      return undefined;
    }
  };
}
