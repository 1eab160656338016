/** What people are told who have dotphase without the packages that only some of it needs. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openHeardStore } from '../../src/records/sqlite/index.js';
import { build, dotphase } from './dotphase.js';

/** Hooks of Node's loader that find none of them. */
const HOOKS = `
export async function resolve(name, context, next) {
  if (/^(chokidar|fastify)$/.test(name)) throw new Error("Cannot find package '" + name + "'");
  return next(name, context);
}`;

let folder: string;
beforeAll(async () => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'missing-'));
  (await openHeardStore(join(folder, 'calls.db'), { clock: Date.now })).close();
  const hooks = join(folder, 'hooks.mjs');
  writeFileSync(hooks, HOOKS);
  writeFileSync(
    join(folder, 'register.mjs'),
    `import { register } from 'node:module';\nregister(${JSON.stringify(pathToFileURL(hooks).href)});\n`,
  );
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

it.each([
  ['waiting for new files', ['decode', '--new-files', '.'], /--new-files: .*npm install chokidar@4/],
  [
    'the page of a log',
    ['heard', 'calls.db', '--page'],
    /--page: .*npm install fastify@5 @fastify\/static@8 prom-client@15/,
  ],
])('%s asks for what is to be installed', async (_, args, said) => {
  const env = { NODE_OPTIONS: `--import=${pathToFileURL(join(folder, 'register.mjs')).href}` };
  const { code, stdout, stderr } = await dotphase(args, { cwd: folder, env });
  expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
  expect(stderr.replace(/\s+/g, ' ')).toMatch(said);
});
