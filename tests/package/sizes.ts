/**
 * What a page pays for each use of the package: bundled for browsers, minified, compressed. Run by itself it prints
 * the figures: `npx tsx tests/package/sizes.ts` (of `dist`, after `npm run build`).
 */
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build } from 'esbuild';
import { ROOT } from './run.js';

interface Use {
  /** What a page imports. */
  readonly code: string;
  /** The most that it may cost, bytes minified and compressed: a little more than it does, so that growth is seen. */
  readonly most: number;
}

/** What pages use the package for. */
export const USES: Readonly<Record<string, Use>> = {
  'encode a call to audio': {
    code: "export { encodeCall, frameCall, modulate } from 'dotphase';",
    most: 9_000,
  },
  'describe a received call': { code: "export { decodeCall, describeCall } from 'dotphase';", most: 16_000 },
  'receive calls': { code: "export { createReceiver } from 'dotphase';", most: 37_300 },
  'step procedures': { code: "export * from 'dotphase/procedures';", most: 23_500 },
  'read and write WAV': { code: "export { readWav, writeWav } from 'dotphase/wav';", most: 8_800 },
  'impair audio': { code: "export { createChannel } from 'dotphase/channel';", most: 39_000 },
  'all of dotphase': { code: "export * from 'dotphase';", most: 62_000 },
  'all of dotphase/simulation': { code: "export * from 'dotphase/simulation';", most: 118_600 },
};

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
  const lines = ['use                         minified      gzip   at most (bytes)'];
  for (const [use, { code, most }] of Object.entries(USES)) {
    const { minified, compressed } = await sizeOf(code, folder);
    const figures = [minified, compressed, most].map((bytes) => String(bytes).padStart(9));
    lines.push(`${use.padEnd(26)} ${figures.join(' ')}`);
  }
  return lines.join('\n');
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  process.stdout.write(`${await printSizes(ROOT)}\n`);
}
