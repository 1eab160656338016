/**
 * Compiles the vectorised arithmetic of the receiver's search: `npm run wasm` writes the module that is committed, a
 * test compares it with what its source gives.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { ROOT } from './run.js';

const FOLDER = join(ROOT, 'src/receiver/search');
export const MODULE_FILE = join(FOLDER, 'vectormodule.ts');

const COMPILER = join(ROOT, 'node_modules/assemblyscript/bin/asc.js');
const OPTIONS = ['--runtime', 'stub', '--importMemory', '--initialMemory', '1', '--enable', 'simd'];

/** The text of the file that holds the compiled module. */
export function compileVectorModule(): string {
  const folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
  try {
    const file = join(folder, 'rows.wasm');
    const source = join(FOLDER, 'vectorrows.assembly.ts');
    execFileSync(process.execPath, [COMPILER, source, '--outFile', file, ...OPTIONS, '-O3', '--noAssert']);
    return [
      '/** `vectorrows.assembly.ts`, compiled by `npm run wasm`: WebAssembly in base64. */',
      `export const VECTOR_MODULE =\n  '${readFileSync(file).toString('base64')}';\n`,
    ].join('\n');
  } finally {
    rmSync(folder, { recursive: true });
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  writeFileSync(MODULE_FILE, compileVectorModule());
}
