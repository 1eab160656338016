/**
 * Compiles the vectorised arithmetic of the receiver's search: `npm run wasm` writes the module that is committed, a
 * test compares it with what its source gives.
 */
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import * as constants from '../../src/receiver/search/rowconstants.js';
import { ROOT } from './run.js';

const FOLDER = join(ROOT, 'src/receiver/search');
export const MODULE_FILE = join(FOLDER, 'vectormodule.ts');

const SOURCE = 'vectorrows.assembly.ts';
const COMPILER = join(ROOT, 'node_modules/assemblyscript/bin/asc.js');
const OPTIONS = ['--runtime', 'stub', '--importMemory', '--initialMemory', '1', '--enable', 'simd'];

/** The constants as the compiler's kinds of numbers: rows are whole. */
function constantsText(): string {
  const kindOf = (name: string) => (/ROWS|BITS|LEAD|BEHIND/.test(name) ? 'i32' : 'f32');
  const lines = Object.entries(constants).map(
    ([name, value]) => `export const ${name}: ${kindOf(name)} = ${value};\n`,
  );
  return lines.join('');
}

/** The text of the file that holds the compiled module. */
export function compileVectorModule(): string {
  const folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
  try {
    copyFileSync(join(FOLDER, SOURCE), join(folder, SOURCE));
    writeFileSync(join(folder, 'rowconstants.ts'), constantsText());
    const options = [SOURCE, '--outFile', 'rows.wasm', ...OPTIONS, '-O3s', '--noAssert'];
    execFileSync(process.execPath, [COMPILER, ...options], { cwd: folder });
    return [
      '/** `vectorrows.assembly.ts`, compiled by `npm run wasm`: WebAssembly in base 16, which packs better than base 64. */',
      `export const VECTOR_MODULE =\n  '${readFileSync(join(folder, 'rows.wasm')).toString('hex')}';\n`,
    ].join('\n');
  } finally {
    rmSync(folder, { recursive: true });
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  writeFileSync(MODULE_FILE, compileVectorModule());
}
