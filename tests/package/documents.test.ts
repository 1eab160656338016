/**
 * The examples of the documents, the README and the library's reference: every TypeScript block compiles and prints
 * what its comments say, every command runs.
 */
import { mkdirSync, readFileSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { beforeAll, describe, expect, inject, it } from 'vitest';
import { parseChannel } from '../../src/channel/index.js';
import { ROOT, run } from './run.js';

interface Block {
  readonly name: string;
  readonly code: string;
}

const read = (path: string) => readFileSync(join(ROOT, path), 'utf8');

/** The documents in Markdown, from the top of the package. */
const DOCUMENTS = [
  'README.md',
  'DEVELOPERS.md',
  ...['docs', 'docs/pages'].flatMap((folder) =>
    readdirSync(join(ROOT, folder))
      .filter((file) => file.endsWith('.md'))
      .map((file) => `${folder}/${file}`),
  ),
];

function blocks(path: string, text: string, language: string): Block[] {
  const found = text.matchAll(new RegExp(`^\`\`\`${language}\\n([^]*?)^\`\`\``, 'gm'));
  const name = path.replace(/^src\/|^docs\/(pages\/)?|\.md$|\.ts$/g, '').replaceAll('/', '-');
  return [...found].map(([, code], i) => ({ name: `${name}-${i + 1}`, code }));
}

/** The faces of the rooms, which the library's reference is made from. */
const FACES = (JSON.parse(read('typedoc.json')) as { entryPoints: string[] }).entryPoints;

/** The examples in the docstring that opens a face. */
function faceExamples(path: string): Block[] {
  const [docstring] = read(path).split('*/');
  return blocks(path, docstring.replace(/^ \* ?/gm, ''), 'ts');
}

// The README's own TypeScript is run in projects of every kind, see users.test.ts.
const EXAMPLES = [
  ...FACES.flatMap(faceExamples),
  ...DOCUMENTS.filter((path) => path !== 'README.md').flatMap((path) => blocks(path, read(path), 'ts')),
];

describe('the examples', () => {
  let folder: string;
  beforeAll(() => {
    folder = join(inject('users'), 'examples');
    mkdirSync(folder);
    writeFileSync(join(folder, 'package.json'), JSON.stringify({ private: true, type: 'module' }));
    const compilerOptions = {
      target: 'ES2022',
      module: 'NodeNext',
      lib: ['ES2023', 'DOM', 'DOM.AsyncIterable'],
      types: [],
      strict: true,
      skipLibCheck: true,
      outDir: 'out',
    };
    writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify({ compilerOptions, include: ['*.ts'] }));
    for (const { name, code } of EXAMPLES) writeFileSync(join(folder, `${name}.ts`), code);
    run(join(ROOT, 'node_modules/typescript-7/bin/tsc'), ['-p', '.'], folder);
  });

  it.each(FACES)('stand on the page of %s', (path) => {
    expect(faceExamples(path)).not.toEqual([]);
  });

  it.each(EXAMPLES)('$name prints what it says', ({ name, code }) => {
    const printed = run(process.execPath, [`out/${name}.js`], folder)
      .trim()
      .split('\n');
    // What is printed stands behind the line that prints it, or below by itself.
    const said = [...code.matchAll(/(?:console\.log\(.*\);\s|^)\/\/ (.*)$/gm)].map(([, comment]) => comment);
    expect(said.length).toBeGreaterThan(0);
    expect(printed).toEqual(expect.arrayContaining(said));
  });

  it('of channels in JSON are channels', () => {
    const found = blocks('channel', read('docs/channel.md'), 'json');
    expect(found.length).toBeGreaterThan(0);
    for (const { code } of found) expect(() => parseChannel(JSON.parse(code))).not.toThrow();
  });
});

describe('the commands', { timeout: 300_000 }, () => {
  let bin: string;
  beforeAll(() => {
    const users = inject('users');
    // What the documents have at hand: the recordings of the demo, and a sound card, here one that plays a recording.
    run(process.execPath, ['node_modules/dotphase/dist/cli/demo.js'], users);
    bin = join(users, 'bin');
    mkdirSync(bin);
    const soundCard = `#!/bin/sh\ntail -c +45 '${users}/demo-output/test-noisy.wav'\n`;
    writeFileSync(join(bin, 'arecord'), soundCard, { mode: 0o755 });
  });

  /** Those that make or need the package itself are the steps that this test is part of. */
  const commands = (path: string) =>
    blocks(path, read(path), 'sh').filter(({ code }) => !/^(npm|bash) /m.test(code));
  const withCommands = DOCUMENTS.filter((path) => commands(path).length > 0);

  it.each(withCommands)('of %s all run, in the order they are written', (path) => {
    const folder = join(inject('users'), path.replace(/\W/g, '-'));
    mkdirSync(folder);
    symlinkSync('../demo-output', join(folder, 'demo-output'));
    const environment = { PATH: `${bin}${delimiter}${process.env.PATH ?? ''}` };
    for (const { code } of commands(path)) {
      run('bash', ['-eu', '-o', 'pipefail', '-c', code], folder, environment);
    }
  });

  it('that the documents run by npm are scripts of the package', () => {
    const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> };
    const named = DOCUMENTS.flatMap((path) =>
      [...read(path).matchAll(/npm run ([\w:]+)/g)].map(([, name]) => `${path}: ${name}`),
    );
    expect(named.filter((each) => !Object.hasOwn(scripts, each.replace(/^.*: /, '')))).toEqual([]);
  });
});
