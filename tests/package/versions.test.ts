/**
 * The pack, the demo and the fast tests on every version of Node that is named as supported. The binaries come from
 * the registry, one package for each platform.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, inject, it } from 'vitest';
import { EXPECTED, readmeExample } from './example.js';
import { ROOT, run } from './run.js';

const VERSIONS = [20, 22, 24, 26];

/** Tests of the foundations, of files and of the log on disk; together less than a minute. */
const FAST = [
  'tests/symbols',
  'tests/frames',
  'tests/calls/codec.test.ts',
  'tests/calls/identity.test.ts',
  'tests/frequencies',
  'tests/navigation',
  'tests/records',
  'tests/wav',
];

const PLATFORM = `${process.platform === 'win32' ? 'win' : process.platform}-${process.arch}`;

describe.each(VERSIONS)('Node %i', { timeout: 600_000 }, (version) => {
  let folder: string;
  let node: string;
  beforeAll(() => {
    folder = join(inject('users'), `node-${version}`);
    mkdirSync(folder);
    writeFileSync(join(folder, 'package.json'), JSON.stringify({ private: true, type: 'module' }));
    writeFileSync(join(folder, 'example.js'), readmeExample());
    const options = ['--prefer-offline', '--no-audit', '--no-fund'];
    run('npm', ['install', ...options, `node-${PLATFORM}@${version}`], folder);
    node = join(folder, 'node_modules/.bin/node');
    expect(run(node, ['--version'], folder)).toMatch(new RegExp(`^v${version}\\.`));
  });

  it('runs the example', () => {
    expect(run(node, ['example.js'], folder)).toMatch(EXPECTED);
  });

  it('runs the demo, and keeps and lists a log, without a warning', () => {
    const cli = join(inject('users'), 'node_modules/dotphase/dist/cli');
    const dotphase = (file: string, ...args: string[]) =>
      run(node, [join(cli, file), ...args], folder, {}, { withErrors: true });
    const printed = [
      dotphase('demo.js'),
      dotphase('main.js', 'decode', '--log', 'calls.db', 'demo-output/test-noisy.wav'),
      dotphase('main.js', 'log', 'calls.db'),
    ].join('');
    expect(printed).toMatch(/^\d{4}-\d\d-\d\d .*test call/im);
    expect(printed).not.toMatch(/ExperimentalWarning|DeprecationWarning/);
  });

  it('passes the fast tests', () => {
    const vitest = join(ROOT, 'node_modules/vitest/vitest.mjs');
    run(node, [vitest, 'run', ...FAST], ROOT, { VITEST: '' });
  });
});
