/**
 * Builds the documents into one static site in docs/site: guides, the walk, a sample paper, references, the library's
 * own reference and the test bench. It opens from any file server or from disk, and loads nothing from elsewhere.
 * `npm run docs` fails where a public item is not documented or a link leads nowhere.
 */
import { cpSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { layOut } from './layout.js';
import { buildLibrary } from './library.js';
import { checkLinks } from './links.js';
import { createSamplePaper } from './samplepaper.js';
import { createStyles } from './styles.js';
import { createWalk } from './walk.js';

const DOCS = fileURLToPath(new URL('..', import.meta.url));
const SITE = join(DOCS, 'site');

/** The documents by name, as Markdown. */
function documents(): Map<string, string> {
  const found = new Map<string, string>();
  for (const folder of [DOCS, join(DOCS, 'pages')]) {
    for (const file of readdirSync(folder).filter((each) => each.endsWith('.md'))) {
      found.set(basename(file, '.md'), readFileSync(join(folder, file), 'utf8'));
    }
  }
  return found;
}

function write(files: Iterable<readonly [string, string | Uint8Array]>): void {
  for (const [name, content] of files) writeFileSync(join(SITE, name), content);
}

function copyPictures(): void {
  cpSync(join(DOCS, 'reference'), join(SITE, 'reference'), { recursive: true });
  cpSync(join(DOCS, 'pages/demonstrating'), join(SITE, 'demonstrating'), { recursive: true });
  for (const file of readdirSync(DOCS).filter((each) => /\.(svg|json)$/.test(each))) {
    cpSync(join(DOCS, file), join(SITE, file));
  }
}

rmSync(SITE, { recursive: true, force: true });
mkdirSync(join(SITE, 'monday'), { recursive: true });
write(createStyles());
copyPictures();
const walk = createWalk();
write(walk.drawings);
write(createSamplePaper('monday'));
write(
  [...documents(), ['walk', walk.page] as const].map(([name, source]) => [
    `${name}.html`,
    layOut(name, source),
  ]),
);
await build({ root: join(DOCS, 'bench'), configFile: join(DOCS, 'bench/vite.config.ts'), logLevel: 'warn' });
await buildLibrary(join(SITE, 'api'));

const { pages, links, broken } = checkLinks(SITE);
if (broken.length > 0) {
  process.stderr.write(`Links that lead nowhere:\n${broken.join('\n')}\n`);
  process.exitCode = 1;
} else {
  process.stdout.write(`docs/site: ${pages} pages, ${links} links, each of which leads somewhere.\n`);
}
