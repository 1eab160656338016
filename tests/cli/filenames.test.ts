/** Names of files that a terminal would obey, that lead nowhere or that no disk takes. */
import { copyFileSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

let folder: string;
const inFolder = (name: string) => join(folder, name);

const CALL = ['test-call', '--from', '299123456', '--to', '002991234'];
const ANSWERING = ['--as', '002991234'];

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'filenames-'));
  await here(['encode', ...CALL, '--vhf', '--out', inFolder('good.wav')]);
  symlinkSync('loop', inFolder('loop'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** Red, and all that follows from right to left. */
const OBEYED = 'red\u001b[31m\u202e.wav';

describe('the name of a file', () => {
  it('reaches no terminal as it is, and JSON as it is', async () => {
    copyFileSync(inFolder('good.wav'), inFolder(OBEYED));
    const runs = [
      await here(['decode', inFolder(OBEYED)]),
      await here(['decode', '--verbose', inFolder(OBEYED)]),
      await here(['decode', inFolder(`no${OBEYED}`)]),
      await here(['measure', inFolder(OBEYED)]),
      await here(['encode', ...CALL, '--out', inFolder(OBEYED)]),
    ];
    for (const { stdout, stderr } of runs) expect(stdout + stderr).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
    expect(runs[0].stdout).toContain('red�[31m�.wav');
    const { stdout } = await here(['decode', '--json', inFolder(OBEYED)]);
    expect(jsonLines(stdout)[0].file).toBe(inFolder(OBEYED));
  });

  it('that leads nowhere costs nothing but that file', async () => {
    for (const name of ['loop', 'a'.repeat(300)]) {
      const { code, stdout, stderr } = await here(['decode', inFolder(name), inFolder('good.wav')]);
      expect(code).toBe(2);
      expect(stdout).toContain('Test call from ship 299 123 456');
      expect(stderr.trimEnd().split('\n')).toHaveLength(1);
      expect(stderr).toMatch(/expected a file that can be read/);
    }
  });

  it.each<[string, (name: string) => string[]]>([
    ['measure', (name) => ['measure', name]],
    ['picture', (name) => ['picture', name]],
    ['degrade', (name) => ['degrade', name, inFolder('out.wav'), '--snr', '10']],
    ['encode', (name) => ['encode', ...CALL, '--out', name]],
    ['answer', (name) => ['answer', name, ...ANSWERING, '--out', inFolder('out.wav')]],
    ['answer into it', (name) => ['answer', inFolder('good.wav'), ...ANSWERING, '--out', name]],
    ['call', (name) => ['call', ...CALL, '--off-air', '--in', name, '--out', inFolder('out.wav')]],
    ['log', (name) => ['log', name]],
    ['heard', (name) => ['heard', name]],
    ['watch', (name) => ['watch', name]],
    ['rehearse', (name) => ['rehearse', '--auto', name]],
    ['book', (name) => ['book', name]],
    ['archive', (name) => ['archive', 'add', '--queue', inFolder('queue.db'), name]],
  ])('that leads nowhere is refused by %s in one line', async (_, command) => {
    for (const name of ['loop', 'a'.repeat(300)]) {
      const { code, stderr } = await here(command(inFolder(name)));
      expect(stderr.match(/^dotphase: .*expected/gm)).toHaveLength(1);
      expect(stderr).not.toMatch(/^ {4}at /m);
      expect(code).toBe(2);
    }
  });
});
