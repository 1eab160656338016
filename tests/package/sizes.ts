/**
 * What a page pays for each use of the package: bundled for browsers, minified, compressed. Run by itself it prints
 * the figures: `npx tsx tests/package/sizes.ts` (of `dist`, after `npm run build`).
 */
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build } from 'esbuild';
import { ROOT } from './run.js';

/** What a page imports for each use. */
export const USES = {
  'encode a call to audio': "export { encodeCall, frameCall, modulate } from 'dotphase';",
  'describe a received call': "export { decodeCall, describeCall } from 'dotphase';",
  'receive calls': "export { createReceiver } from 'dotphase';",
  'read and write WAV': "export { readWav, writeWav } from 'dotphase/wav';",
  'impair audio': "export { createChannel } from 'dotphase/channel';",
  'all of dotphase': "export * from 'dotphase';",
  'procedures alone': "export * from 'dotphase/procedures';",
  'all of dotphase/simulation': "export * from 'dotphase/simulation';",
} as const;

/** The most that encoding alone may take, compressed. */
export const MOST_FOR_ENCODING = 12_000;

export interface Size {
  readonly minified: number;
  readonly compressed: number;
}

/** The size of a bundle of this code, which imports the package as a folder finds it. */
export async function sizeOf(code: string, folder: string): Promise<Size> {
  const { outputFiles } = await build({
    stdin: { contents: code, resolveDir: folder },
    bundle: true,
    minify: true,
    platform: 'browser',
    format: 'esm',
    write: false,
    logLevel: 'silent',
  });
  const [{ contents }] = outputFiles;
  return { minified: contents.length, compressed: gzipSync(contents, { level: 9 }).length };
}

/** One line for each use. */
export async function printSizes(folder: string): Promise<string> {
  const lines = ['use                         minified  gzip (bytes)'];
  for (const [use, code] of Object.entries(USES)) {
    const { minified, compressed } = await sizeOf(code, folder);
    lines.push(`${use.padEnd(26)} ${String(minified).padStart(9)} ${String(compressed).padStart(13)}`);
  }
  return lines.join('\n');
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  process.stdout.write(`${await printSizes(ROOT)}\n`);
}
