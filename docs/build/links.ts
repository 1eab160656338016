/**
 * Checks every link of a site: that the file is there, and the place in it, and that nothing is loaded from elsewhere.
 */
import { readFileSync, readdirSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { parseHTML } from 'linkedom';

interface Page {
  /** What its anchors lead to. */
  readonly targets: readonly string[];
  /** What it loads: pictures, sounds, style sheets, scripts. */
  readonly loaded: readonly string[];
  /** Undefined where a script makes the page, so that only a browser knows its places. */
  readonly places: ReadonlySet<string> | undefined;
}

const ELSEWHERE = /^(?:[a-z]+:)?\/\//i;
const NO_FILE = /^(?:data|mailto|blob):/;

function readPage(path: string): Page {
  const { document } = parseHTML(readFileSync(path, 'utf8'));
  const values = (selector: string, attribute: string) =>
    [...document.querySelectorAll(selector)].map((element) => element.getAttribute(attribute) ?? '');
  return {
    targets: values('a[href]', 'href'),
    loaded: [...values('link[href]', 'href'), ...values('[src]', 'src')],
    places: document.querySelector('#app:empty') ? undefined : new Set(values('[id]', 'id')),
  };
}

/** What came of a check. */
export interface LinkCheck {
  readonly pages: number;
  readonly links: number;
  /** A line for each link that leads nowhere. */
  readonly broken: readonly string[];
}

/**
 * Checks the links of every HTML file in a folder, also those into other folders of it.
 *
 * @param site - the folder
 */
export function checkLinks(site: string): LinkCheck {
  const files = readdirSync(site, { recursive: true, encoding: 'utf8' }).filter((file) =>
    file.endsWith('.html'),
  );
  const pages = new Map(files.map((file) => [join(site, file), readPage(join(site, file))]));
  const broken: string[] = [];
  let links = 0;

  const isThere = (from: string, target: string): boolean => {
    const [, file, place] = /^([^#?]*)(?:\?[^#]*)?#?(.*)$/.exec(target) ?? [];
    const found = file === '' ? from : resolve(dirname(from), decodeURIComponent(file));
    if (relative(site, found).startsWith('..')) return false;
    if (!statSync(found, { throwIfNoEntry: false })?.isFile()) return false;
    const places = pages.get(found)?.places;
    return place === '' || places === undefined || places.has(decodeURIComponent(place));
  };

  for (const [path, { targets, loaded }] of pages) {
    const check = (target: string, isLoaded: boolean) => {
      if (NO_FILE.test(target)) return;
      links++;
      const isGood = ELSEWHERE.test(target) ? !isLoaded : isThere(path, target);
      if (!isGood) broken.push(`${relative(site, path)}: ${target}`);
    };
    for (const target of targets) check(target, false);
    for (const target of loaded) check(target, true);
  }
  return { pages: pages.size, links, broken };
}
