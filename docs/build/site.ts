/**
 * Builds the documents into one static site in docs/site: guides, the walk, sounds, a sample paper, references, the
 * library's own reference, the search and the test bench. It opens from any file server or from disk, and loads nothing from elsewhere.
 * `npm run docs` fails where a public item is not documented, a link leads nowhere, or a sound is played nowhere.
 */
import { cpSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { withNight } from './darken.js';
import { createExpect } from './expect.js';
import { layOut } from './layout.js';
import { createLesson } from './lesson.js';
import { buildLibrary } from './library.js';
import { checkLinks } from './links.js';
import { createSamplePaper } from './samplepaper.js';
import { createScripts } from './scripts.js';
import { SEARCH_PAGE, placesOf, searchDocuments, type Place } from './search.js';
import { SOUND_NAMES, soundFacts, soundFile } from './sounds/sounds.js';
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

type Content = string | Uint8Array;

/** Writes files by their names in the site; drawings follow the page by night. */
function write(files: Iterable<readonly [string, Content]>): void {
  for (const [name, content] of files) {
    const isDrawing = name.endsWith('.svg') && typeof content === 'string';
    writeFileSync(join(SITE, name), isDrawing ? withNight(content) : content);
  }
}

function copyPictures(): void {
  for (const folder of ['demonstrating', 'pictures']) {
    cpSync(join(DOCS, 'pages', folder), join(SITE, folder), { recursive: true });
  }
  cpSync(join(DOCS, 'performance.json'), join(SITE, 'performance.json'));
  for (const folder of ['.', 'reference']) {
    const drawings = readdirSync(join(DOCS, folder)).filter((file) => file.endsWith('.svg'));
    write(drawings.map((file) => [`${folder}/${file}`, readFileSync(join(DOCS, folder, file), 'utf8')]));
  }
}

/** The pages as HTML by their names, and the sounds that they name. */
function layOutAll(sources: Iterable<readonly [string, string]>): {
  pages: Map<string, string>;
  sounds: Set<string>;
} {
  const sounds = new Set<string>();
  const named = (name: string) => {
    sounds.add(name);
    return soundFacts(name);
  };
  const pages = [...sources].map(([name, source]): [string, string] => [
    name,
    layOut(name, source, named, name === 'search' ? ['search-documents.js', 'search.js'] : []),
  ]);
  return { pages: new Map(pages), sounds };
}

/** What is on disk, in bytes. */
function sizeOf(folder: string): number {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .map((file) => statSync(join(folder, file)))
    .reduce((sum, entry) => sum + (entry.isFile() ? entry.size : 0), 0);
}

rmSync(SITE, { recursive: true, force: true });
for (const folder of ['monday', 'reference', 'sounds']) mkdirSync(join(SITE, folder), { recursive: true });
write(createStyles());
write(await createScripts());
copyPictures();
const walk = createWalk();
write(walk.drawings);
write(createLesson());
write(createSamplePaper('monday'));
const { pages, sounds } = layOutAll([
  ...documents(),
  ['walk', walk.page],
  ['expect', createExpect(join(DOCS, 'performance.json'))],
  ['search', SEARCH_PAGE],
]);
write([...pages].map(([name, html]) => [`${name}.html`, html]));
write([...sounds].map((name) => [`sounds/${name}.wav`, soundFile(name)]));
await build({ root: join(DOCS, 'bench'), configFile: join(DOCS, 'bench/vite.config.ts'), logLevel: 'warn' });
const library = await buildLibrary(join(SITE, 'api'));
const places: Place[] = [
  ...[...pages]
    .filter(([name]) => name !== 'search')
    .flatMap(([name, html]) => placesOf(`${name}.html`, html)),
  ...library,
];
write([['search-documents.js', searchDocuments(places)]]);

const { pages: count, links, broken } = checkLinks(SITE);
const problems = [
  ...broken.map((link) => `leads nowhere: ${link}`),
  ...SOUND_NAMES.filter((name) => !sounds.has(name)).map((name) => `no page plays it: ${name}`),
];
if (problems.length > 0) {
  process.stderr.write(`${problems.join('\n')}\n`);
  process.exitCode = 1;
} else {
  const size = (folder: string) => `${(sizeOf(folder) / 1e6).toFixed(1)} MB`;
  process.stdout.write(
    `docs/site: ${count} pages, ${links} links, each of which leads somewhere; ${size(SITE)}, of them ${size(join(SITE, 'sounds'))} sounds.\n`,
  );
}
