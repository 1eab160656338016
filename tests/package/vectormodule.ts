/**
 * Compiles the arithmetic with vector instructions: `npm run wasm` writes the modules that are committed, a test
 * compares them with what their sources give.
 */
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import * as constants from '../../src/receiver/search/rowconstants.js';
import { ROOT } from './run.js';

/** A source of vector arithmetic, and the module it is compiled to. */
interface VectorSource {
  readonly folder: string;
  readonly name: string;
  /** Of the text of the module. */
  readonly constant: string;
}

/** Every source there is. */
export const VECTOR_SOURCES: readonly VectorSource[] = [
  { folder: 'src/dsp', name: 'filtersums', constant: 'FILTER_SUMS_MODULE' },
  { folder: 'src/receiver/search', name: 'vectorrows', constant: 'ROWS_MODULE' },
];

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

/** The file that holds a compiled module. */
export function moduleFile({ folder, name }: VectorSource): string {
  return join(ROOT, folder, `${name}module.ts`);
}

/** The text of that file. */
export function compileVectorSource({ folder, name, constant }: VectorSource): string {
  const source = `${name}.assembly.ts`;
  const work = mkdtempSync(join(tmpdir(), 'dotphase-'));
  try {
    copyFileSync(join(ROOT, folder, source), join(work, source));
    writeFileSync(join(work, 'rowconstants.ts'), constantsText());
    const options = [source, '--outFile', 'out.wasm', ...OPTIONS, '-O3s', '--noAssert'];
    execFileSync(process.execPath, [COMPILER, ...options], { cwd: work });
    return [
      `/** \`${source}\`, compiled by \`npm run wasm\`: WebAssembly in base 16, which packs better than base 64. */`,
      `export const ${constant} =\n  '${readFileSync(join(work, 'out.wasm')).toString('hex')}';\n`,
    ].join('\n');
  } finally {
    rmSync(work, { recursive: true });
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  for (const source of VECTOR_SOURCES) writeFileSync(moduleFile(source), compileVectorSource(source));
}
