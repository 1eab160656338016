/**
 * Builds and packs the package apart from the working folder, and installs the pack where projects of users stand.
 */
import { cpSync, mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { ROOT, run } from './run.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** The package as it is published, unpacked. */
    staged: string;
    /** What `npm pack` made. */
    tarball: string;
    /** A folder with the package installed; projects in folders under it find it as their own. */
    users: string;
    /** What npm printed while it installed the package. */
    installing: string;
  }
}

const PACKED = [
  'package.json',
  'README.md',
  'LICENSE',
  'CHANGELOG.md',
  'docs/pages',
  'docs/channel.md',
  'src',
];
const BUILT_WITH = ['tsconfig.json', 'tsconfig.build.json'];

export default function setup(project: TestProject): void {
  const folder = mkdtempSync(join(tmpdir(), 'package-'));
  const staged = join(folder, 'staged');
  const users = join(folder, 'users');
  mkdirSync(staged);
  mkdirSync(users);
  for (const name of [...PACKED, ...BUILT_WITH]) {
    cpSync(join(ROOT, name), join(staged, name), { recursive: true });
  }
  symlinkSync(join(ROOT, 'node_modules'), join(staged, 'node_modules'));
  run(join(ROOT, 'node_modules/typescript-7/bin/tsc'), ['-p', 'tsconfig.build.json'], staged);
  run(
    join(ROOT, 'node_modules/.bin/vite'),
    ['build', 'docs/heard', '--outDir', join(staged, 'dist/page')],
    ROOT,
  );
  const packed = run('npm', ['pack', '--ignore-scripts', '--json', '--pack-destination', folder], staged);
  const [{ filename }] = JSON.parse(packed) as [{ filename: string }];
  const tarball = join(folder, filename);
  writeFileSync(join(users, 'package.json'), JSON.stringify({ name: 'users', private: true }));
  const install = ['install', '--prefer-offline', '--no-audit', '--no-fund', tarball];
  const installing = run('npm', install, users, {}, { withErrors: true });
  // A project that keeps its log on disk with Node 20 has this package besides.
  mkdirSync(join(users, 'node_modules/@photostructure'));
  symlinkSync(
    join(ROOT, 'node_modules/@photostructure/sqlite'),
    join(users, 'node_modules/@photostructure/sqlite'),
  );
  project.provide('staged', staged);
  project.provide('tarball', tarball);
  project.provide('users', users);
  project.provide('installing', installing);
}
