/** The thread's program with counters in the sources that read what comes from outside. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build, transform } from 'esbuild';
import { createInstrumenter } from 'istanbul-lib-instrument';

/** Rooms and folders whose ways are counted: not the inner loops, which the counters would only slow down. */
const COUNTED = /[\\/]src[\\/](errors\.ts|(symbols|calls|frames|channel|stations|wav|exam|cli)[\\/].*\.ts)$/;

const OUT = new URL('../../node_modules/.cache/dotphase-fuzz/worker.mjs', import.meta.url);

/** Builds it and gives its place. */
export async function bundleWorker(): Promise<URL> {
  const instrumenter = createInstrumenter({
    esModules: true,
    compact: false,
    coverageGlobalScopeFunc: false,
    coverageGlobalScope: 'globalThis',
  });
  await build({
    entryPoints: [fileURLToPath(new URL('worker.ts', import.meta.url))],
    outfile: fileURLToPath(OUT),
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    plugins: [
      {
        name: 'counters',
        setup(builder) {
          builder.onLoad({ filter: COUNTED }, async ({ path }) => {
            const { code } = await transform(await readFile(path, 'utf8'), {
              loader: 'ts',
              target: 'node20',
            });
            return { contents: instrumenter.instrumentSync(code, path), loader: 'js' };
          });
        },
      },
    ],
  });
  return OUT;
}
