/**
 * The scripts of the pages, each in one file: from a file on disk browsers run no others.
 */
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/** Every script by its name. */
export async function createScripts(): Promise<[string, string][]> {
  const { outputFiles } = await build({
    entryPoints: ['page', 'search'].map((name) =>
      fileURLToPath(new URL(`client/${name}.ts`, import.meta.url)),
    ),
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2023',
    outdir: '.',
    write: false,
  });
  return outputFiles.map(({ path, text }) => [basename(path), text]);
}
