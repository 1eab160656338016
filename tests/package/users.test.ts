/**
 * Fresh projects of every kind install the pack, compile the README's example and run it.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { build, preview } from 'vite';
import { describe, expect, inject, it } from 'vitest';
import { EXPECTED, readmeExample } from './example.js';
import { ROOT, run } from './run.js';

/** Makes a project with these files and gives its folder. */
function createProject(name: string, type: 'module' | 'commonjs', files: Record<string, string>): string {
  const folder = join(inject('users'), name);
  mkdirSync(folder);
  writeFileSync(join(folder, 'package.json'), JSON.stringify({ name, private: true, type }));
  for (const [path, text] of Object.entries(files)) writeFileSync(join(folder, path), text);
  return folder;
}

const node = (folder: string, file: string) => run(process.execPath, [file], folder);

const SUBPATHS = [
  'symbols',
  'calls',
  'frames',
  'modem',
  'transmitter',
  'receiver',
  'channel',
  'frequencies',
  'navigation',
  'procedures',
  'records',
  'simulation',
  'wav',
  'wav/node',
  'containers',
  'containers/node',
  'measure',
  'radio',
  'pictures',
  'exam',
];

describe('a project in', () => {
  it('Node with ES modules runs the example', () => {
    const folder = createProject('modules', 'module', { 'example.js': readmeExample() });
    expect(node(folder, 'example.js')).toMatch(EXPECTED);
  });

  it('Node with CommonJS runs the example by require', () => {
    const code = readmeExample().replace(
      /^import (\{[^}]*\}) from ('dotphase');/m,
      'const $1 = require($2);',
    );
    const folder = createProject('common', 'commonjs', { 'example.js': code });
    expect(node(folder, 'example.js')).toMatch(EXPECTED);
  });

  it.each(['NodeNext', 'Bundler'])(
    'TypeScript with %s resolution compiles and runs the example',
    (resolution) => {
      const compilerOptions = {
        target: 'ES2022',
        module: resolution === 'Bundler' ? 'ESNext' : resolution,
        moduleResolution: resolution,
        lib: ['ES2023', 'DOM'],
        types: [],
        strict: true,
        exactOptionalPropertyTypes: true,
        skipLibCheck: false,
        outDir: 'out',
      };
      const everything = SUBPATHS.map((path, i) => `import * as room${i} from 'dotphase/${path}';`);
      const names = SUBPATHS.map((_, i) => `room${i}`).join(', ');
      const folder = createProject(`typescript-${resolution.toLowerCase()}`, 'module', {
        'tsconfig.json': JSON.stringify({ compilerOptions, include: ['*.ts'] }),
        'example.ts': readmeExample(),
        'everything.ts': `${everything.join('\n')}\nexport const rooms: object[] = [${names}];\n`,
      });
      run(join(ROOT, 'node_modules/typescript-7/bin/tsc'), ['-p', '.'], folder);
      expect(node(folder, 'out/example.js')).toMatch(EXPECTED);
      node(folder, 'out/everything.js');
    },
  );

  it('TypeScript refuses a call that cannot be', () => {
    const folder = createProject('impossible', 'module', {
      'tsconfig.json': JSON.stringify({
        compilerOptions: {
          module: 'NodeNext',
          strict: true,
          noEmit: true,
          lib: ['ES2023', 'DOM'],
          types: [],
        },
      }),
      'call.ts':
        "import type { Call } from 'dotphase';\nexport const call: Call = { kind: 'testCall', nature: 'fire' };\n",
    });
    expect(() => run(join(ROOT, 'node_modules/typescript-7/bin/tsc'), ['-p', '.'], folder)).toThrow(
      /call\.ts/,
    );
  });

  it('a vite page builds the example and runs it in a browser', async () => {
    const folder = createProject('page', 'module', {
      'index.html': '<!doctype html><title>page</title><script type="module" src="./example.js"></script>',
      'example.js': readmeExample(),
    });
    const shared = { root: folder, configFile: false, logLevel: 'error' } as const;
    await build(shared);
    const server = await preview({ ...shared, preview: { port: 4710, host: '127.0.0.1' } });
    const browser = await chromium.launch({
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
      args: ['--no-sandbox', '--disable-gpu'],
    });
    try {
      const page = await browser.newPage();
      const printed: string[] = [];
      page.on('console', (message) => printed.push(message.text()));
      await page.goto(server.resolvedUrls?.local[0] ?? '');
      await expect.poll(() => printed.length, { timeout: 30_000 }).toBe(5);
      expect(`${printed.join('\n')}\n`).toMatch(EXPECTED);
    } finally {
      await browser.close();
      await server.close();
    }
  });
});
