/**
 * Markdown to HTML: headings that links can name, links between documents, tables and examples that scroll by
 * themselves on a narrow screen and can be reached by the keyboard.
 */
import MarkdownIt from 'markdown-it';
import anchor from 'markdown-it-anchor';

/** The name of a heading in links, as code hosts make it. */
function slugify(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .replace(/\s/g, '-');
}

const markdown = new MarkdownIt({ html: true }).use(anchor, { slugify, tabIndex: false });

markdown.core.ruler.push('documents', ({ tokens }) => {
  let heading = '';
  let tables = 0;
  tokens.forEach((token, i) => {
    if (token.type === 'heading_open') {
      heading = tokens[i + 1].content.replace(/[`*]/g, '');
      tables = 0;
    }
    if (token.type === 'table_open') {
      tables++;
      token.meta = { label: tables === 1 ? heading : `${heading}, table ${tables}` };
    }
    // A heading of a column that says nothing is no heading.
    if (token.type === 'th_open' && tokens[i + 1].content === '') {
      token.tag = 'td';
      tokens[i + 2].tag = 'td';
    }
    for (const child of token.children ?? []) {
      const href = child.attrGet('href');
      if (href !== null) child.attrSet('href', String(href).replace(/^([\w./-]+)\.md(#.*)?$/, '$1.html$2'));
    }
  });
});

const scrolling = (label: string) =>
  `<div class="scroll" tabindex="0" role="region" aria-label="${markdown.utils.escapeHtml(label)}">`;

markdown.renderer.rules.table_open = (tokens, i) => `${scrolling(String(tokens[i].meta?.label))}<table>\n`;
markdown.renderer.rules.table_close = () => '</table></div>\n';
markdown.renderer.rules.fence = (tokens, i) =>
  `<pre tabindex="0"><code>${markdown.utils.escapeHtml(tokens[i].content)}</code></pre>\n`;

/** The first heading of a document, as text. */
export function titleOf(source: string): string {
  return (/^# (.+)$/m.exec(source)?.[1] ?? 'dotphase').replace(/`/g, '');
}

/** A document as HTML. Links to `name.md` lead to `name.html`. */
export function toHtml(source: string): string {
  return markdown.render(source);
}
