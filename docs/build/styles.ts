/**
 * The style sheets and the icon of the documents, in the colours and letters of the test bench.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

const read = (path: string) => readFileSync(fileURLToPath(new URL(path, import.meta.url)), 'utf8');

/** Puts fonts into the style sheet: browsers do not load them from a file on disk. */
function withFonts(css: string): string {
  const { resolve } = createRequire(import.meta.url);
  return css.replace(/url\('([^']+)'\)/g, (_, path: string) => {
    const font = readFileSync(resolve(path)).toString('base64');
    return `url('data:font/woff2;base64,${font}')`;
  });
}

/** The dots before a call, as in the icon of the test bench. */
const ICON = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16"><path fill="#f7f2e4" d="M0 0h16v16H0z"/><path d="M2 3h3v4H2zm6 0h3v4H8zM5 9h3v4H5zm6 0h3v4h-3z" fill="#12324a"/></svg>`;

/** Every file by its name. */
export function createStyles(): [string, string][] {
  const fonts = withFonts(read('../bench/style/fonts.css'));
  const theme = read('../bench/style/theme.css');
  return [
    ['site.css', fonts + theme + read('site.css')],
    ['library.css', fonts + theme + read('library.css')],
    ['icon.svg', ICON],
  ];
}
