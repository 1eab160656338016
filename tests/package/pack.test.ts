/**
 * The pack itself: what it holds, how it resolves, what it costs, and that it needs nothing of Node.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createContext, runInContext } from 'node:vm';
import { build } from 'esbuild';
import { publint } from 'publint';
import { formatMessage } from 'publint/utils';
import { describe, expect, inject, it } from 'vitest';
import { ROOT, run } from './run.js';
import { USES, sizeOf } from './sizes.js';

/** What the package and all it needs may take on disk. */
const MOST_INSTALLED_KIB = 22 * 1024;

interface Manifest {
  readonly dependencies: Readonly<Record<string, string>>;
  readonly exports: Readonly<Record<string, unknown>>;
}

const manifest = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as Manifest;

describe('the pack', () => {
  it('is clean by publint', async () => {
    const { messages, pkg } = await publint({ pkgDir: inject('staged'), strict: true, pack: 'npm' });
    expect(messages.map((message) => formatMessage(message, pkg))).toEqual([]);
  });

  it('gives types wherever it is resolved as an ES module', () => {
    const attw = join(ROOT, 'node_modules/.bin/attw');
    // The package is ES modules alone, which CommonJS requires from Node 20.19 on; JSON has no types.
    const schemas = Object.keys(manifest.exports).filter((path) => path.endsWith('.json'));
    const args = ['--profile', 'esm-only', '--exclude-entrypoints', ...schemas.map((path) => path.slice(2))];
    run(attw, [inject('tarball'), '--no-color', ...args], ROOT);
  });

  it('holds what it needs, the guides, and nothing of tests or source maps', () => {
    const files = run('tar', ['-tzf', inject('tarball')], ROOT)
      .trim()
      .split('\n');
    expect(files).toContain('package/dist/index.js');
    expect(files).toContain('package/dist/page/index.html');
    expect(files).toContain('package/README.md');
    expect(files).toContain('package/LICENSE');
    expect(files).toContain('package/docs/pages/simulator.md');
    const strays = files.filter(
      (file) =>
        !/^package\/(dist\/.*\.(js|d\.ts)|dist\/page\/(index\.html|page\.css)|src\/.*\.json|docs\/(pages\/)?[a-z]+\.md|[A-Z]+(\.md)?|package\.json)$/.test(
          file,
        ),
    );
    expect(strays).toEqual([]);
  });

  it('names every dependency and what it is for in DEVELOPERS.md', () => {
    const developers = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8');
    const missing = Object.keys(manifest.dependencies).filter((name) => !developers.includes(`\`${name}\``));
    expect(missing).toEqual([]);
  });
});

describe('installed with its dependencies', () => {
  it('prints no warning', () => {
    expect(inject('installing')).not.toMatch(/warn|deprecated/i);
  });

  it('takes no more than it says', () => {
    const kibibytes = Number(/^\d+/.exec(run('du', ['-sk', 'node_modules'], inject('users'))));
    console.log(`${kibibytes} KiB installed`);
    expect(kibibytes).toBeLessThan(MOST_INSTALLED_KIB);
  });

  it('says what to install besides, where a picture shall be pixels', () => {
    const folder = inject('users');
    const dotphase = (...args: string[]) => run('npx', ['dotphase', ...args], folder);
    dotphase('encode', 'test-call', '--to', '002991234', '--from', '299123456', '--out', 'call.wav');
    dotphase('picture', 'call.wav', '--out', 'call.svg');
    expect(() => dotphase('picture', 'call.wav', '--out', 'call.png')).toThrow(
      /--out: .*an SVG file, or @resvg\/resvg-js beside dotphase: npm install @resvg\/resvg-js@2/,
    );
  });
});

describe('the core', () => {
  it.each(Object.entries(USES))('bundled costs no more than it says: %s', async (_use, { code, most }) => {
    const { compressed } = await sizeOf(code, inject('users'));
    expect(compressed).toBeLessThanOrEqual(most);
  });

  it.each([
    '',
    '/symbols',
    '/calls',
    '/frames',
    '/modem',
    '/receiver',
    '/channel',
    '/wav',
    '/frequencies',
    '/navigation',
    '/procedures',
    '/records',
    '/simulation',
    '/measure',
    '/exam',
  ])('dotphase%s runs where there is neither Node nor a page', async (subpath) => {
    const { outputFiles } = await build({
      stdin: { contents: `export * from 'dotphase${subpath}';`, resolveDir: inject('users') },
      bundle: true,
      platform: 'browser',
      format: 'iife',
      globalName: 'dotphase',
      write: false,
      logLevel: 'silent',
    });
    // What every page and every worker has.
    const context = createContext({ TextEncoder, TextDecoder });
    runInContext(outputFiles[0].text, context);
    expect(runInContext('Object.keys(dotphase).length', context)).toBeGreaterThan(0);
  });

  it('decodes what it encodes there', async () => {
    const { outputFiles } = await build({
      stdin: { contents: "export * from 'dotphase';", resolveDir: inject('users') },
      bundle: true,
      platform: 'browser',
      format: 'iife',
      globalName: 'dotphase',
      write: false,
    });
    const context = createContext({});
    runInContext(outputFiles[0].text, context);
    const heard: unknown = runInContext(
      `
      const { callToAudio, describeReceived, receiveCalls } = dotphase;
      const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };
      const audio = callToAudio(call, { band: 'vhf', sampleRate: 12000 });
      describeReceived(receiveCalls(audio, { sampleRate: 12000, bands: ['vhf'] })[0]);
      `,
      context,
    );
    expect(heard).toBe(
      'Test call from ship 299 123 456 to coast station 00 299 1234; an acknowledgement is requested.',
    );
  });
});
