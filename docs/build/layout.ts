/**
 * The frame of every page of the documents.
 */
import { titleOf, toHtml } from './markdown.js';
import type { SoundBook } from './soundfigure.js';

/** The page that searches has its own, larger form. */
const SEARCH_PAGE = 'search';

type Entry = readonly [page: string, title: string];

/** For those who want to do something. */
const GUIDES: readonly Entry[] = [
  ['twenty', 'DSC in twenty minutes'],
  ['walk', 'One call explained'],
  ['recordings', 'Recordings'],
  ['soundcard', 'Radios'],
  ['demonstrating', 'Demonstrating'],
  ['checking', 'Checking'],
  ['teaching', 'Teaching'],
  ['examining', 'Examining'],
  ['simulator', 'Simulators'],
  ['scenarios', 'Scenarios'],
  ['troubleshooting', 'Troubleshooting'],
  ['bench/index', 'Test bench'],
];

/** For those who look something up. */
const REFERENCES: readonly Entry[] = [
  ['reference', 'Calls'],
  ['channel', 'Channel'],
  ['measuring', 'Figures'],
  ['api/index', 'Library'],
  ['expect', 'What to expect'],
  ['performance', 'Performance'],
  ['scale', 'Scale'],
  ['glossary', 'Glossary'],
  ['cautions', 'Cautions'],
  ['rules', 'Rules and sources'],
  ['uncertainties', 'Uncertainties'],
];

function menu(label: string, entries: readonly Entry[], current: string): string {
  const items = entries.map(
    ([page, title]) =>
      `<li><a href="${page}.html"${page === current ? ' aria-current="page"' : ''}>${title}</a></li>`,
  );
  return `<nav aria-label="${label}"><ul>${items.join('')}</ul></nav>`;
}

const SEARCH = `<form class="search" role="search" action="search.html"><label for="search">Search</label><input id="search" type="search" name="q" autocomplete="off"><button>Find</button></form>`;

/**
 * A document as a whole page.
 *
 * @param name - name of the page, without its ending
 * @param source - Markdown
 * @param sounds - what is known of the sounds that it names
 * @param scripts - what the page runs besides what every page does
 */
export function layOut(
  name: string,
  source: string,
  sounds: SoundBook,
  scripts: readonly string[] = [],
): string {
  const title = titleOf(source);
  return `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="color-scheme" content="light dark" />
    <title>${title === 'dotphase' ? 'dotphase: digital selective calling' : `${title} · dotphase`}</title>
    <link rel="icon" href="icon.svg" />
    <link rel="stylesheet" href="site.css" />
${['page.js', ...scripts].map((script) => `    <script src="${script}" defer></script>`).join('\n')}
  </head>
  <body>
    <a class="skip" href="#content">To the content</a>
    <header>
      <p class="name"><a href="index.html">dotphase</a></p>
      ${name === SEARCH_PAGE ? '' : SEARCH}
      <details class="menus" open><summary>Menu</summary>${menu('Guides', GUIDES, name)}${menu('References', REFERENCES, name)}</details>
      <div class="neatline" aria-hidden="true"></div>
    </header>
    <main id="content">
${toHtml(source, sounds)}
    </main>
    <footer>
      <div class="neatline" aria-hidden="true"></div>
      <p>Never feed distress, urgency or safety audio to a transmitter on the air. A decoded distress alert is not a watch.</p>
    </footer>
  </body>
</html>
`;
}
