/**
 * The contents of a long page: its headings, below the paragraph that opens it.
 */
import type { Token } from 'markdown-it';

/** From so many headings on a page is long. */
const LONG = 5;
/** With more headings than this the contents hold only those of the second level. */
const MOST = 70;

interface Heading {
  readonly level: number;
  readonly id: string;
  readonly text: string;
}

function headingsOf(tokens: readonly Token[]): Heading[] {
  return tokens.flatMap((token, i) => {
    const level = Number(/^h([23])$/.exec(token.tag)?.[1]);
    if (token.type !== 'heading_open' || Number.isNaN(level)) return [];
    return [{ level, id: String(token.attrGet('id')), text: tokens[i + 1].content.replace(/[`*_]/g, '') }];
  });
}

function list(headings: readonly Heading[]): string {
  const link = ({ id, text }: Heading) =>
    `<a href="#${encodeURIComponent(id)}">${text.replaceAll('&', '&amp;').replaceAll('<', '&lt;')}</a>`;
  const items: string[] = [];
  for (const [i, heading] of headings.entries()) {
    if (heading.level === 3) continue;
    const rest = headings.slice(i + 1);
    const end = rest.findIndex(({ level }) => level === 2);
    const own = end < 0 ? rest : rest.slice(0, end);
    const below = own.length > 0 ? `<ul>${own.map((each) => `<li>${link(each)}</li>`).join('')}</ul>` : '';
    items.push(`<li>${link(heading)}${below}</li>`);
  }
  return `<ul>${items.join('')}</ul>`;
}

/** Where the contents stand: behind the title, or behind the paragraph that follows it. */
function placeOf(tokens: readonly Token[]): number {
  const title = tokens.findIndex(({ type, tag }) => type === 'heading_close' && tag === 'h1');
  const opens = tokens.findIndex(({ type }, i) => i === title + 1 && type === 'paragraph_open');
  return opens < 0 ? title + 1 : opens + 3;
}

/**
 * The contents of a page as HTML and where they stand among its tokens; nothing for a short page.
 */
export function contentsOf(tokens: readonly Token[]): { html: string; place: number } | undefined {
  const all = headingsOf(tokens);
  const headings = all.length > MOST ? all.filter(({ level }) => level === 2) : all;
  if (headings.filter(({ level }) => level === 2).length < LONG) return undefined;
  const html = `<nav class="contents" aria-label="On this page"><details open><summary>On this page</summary>${list(headings)}</details></nav>\n`;
  return { html, place: placeOf(tokens) };
}
