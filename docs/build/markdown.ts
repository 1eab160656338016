/**
 * Markdown to HTML: headings that links can name, links between documents, tables and examples that scroll by
 * themselves on a narrow screen and can be reached by the keyboard, sounds that can be played.
 */
import MarkdownIt, { type Token } from 'markdown-it';
import anchor from 'markdown-it-anchor';
import { contentsOf } from './contents.js';
import { soundFigure, type SoundBook } from './soundfigure.js';

/** The name of a heading in links, as code hosts make it. */
function slugify(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .replace(/\s/g, '-');
}

const markdown = new MarkdownIt({ html: true }).use(anchor, { slugify, tabIndex: false });

/** Text in a cell from which a table keeps its width on a narrow screen, characters. */
const LONG_CELL = 60;

interface TableFrame {
  /** What the table is called for those who do not see it. */
  readonly label: string;
  readonly isWide: boolean;
}

const frames = new WeakMap<Token, TableFrame>();

function frameOf(tokens: readonly Token[], i: number, heading: string, number: number): TableFrame {
  const cells = tokens.slice(
    i,
    tokens.findIndex(({ type }, j) => j > i && type === 'table_close'),
  );
  return {
    label: number === 1 ? heading : `${heading}, table ${number}`,
    isWide: cells.some(({ type, content }) => type === 'inline' && content.length > LONG_CELL),
  };
}

/** Of a link to a sound that stands alone in its paragraph: the sound's name. */
const SOUND_LINK = /^sounds\/([\w-]+)\.wav$/;

markdown.core.ruler.push('documents', ({ tokens, env, Token: NewToken }) => {
  let heading = '';
  let tables = 0;
  tokens.forEach((token, i) => {
    if (token.type === 'heading_open') {
      heading = tokens[i + 1].content.replace(/[`*]/g, '');
      tables = 0;
    }
    if (token.type === 'table_open') frames.set(token, frameOf(tokens, i, heading, ++tables));
    // A heading of a column that says nothing is no heading.
    if (token.type === 'th_open' && tokens[i + 1].content === '') {
      token.tag = 'td';
      tokens[i + 2].tag = 'td';
    }
    const children = token.children ?? [];
    if (children.length === 1 && children[0].type === 'image') {
      tokens[i - 1].attrSet('class', 'drawing');
      tokens[i - 1].attrSet('tabindex', '0');
    }
    for (const child of children) {
      const href = child.attrGet('href');
      if (href !== null) child.attrSet('href', String(href).replace(/^([\w./-]+)\.md(#.*)?$/, '$1.html$2'));
    }
    const sound = SOUND_LINK.exec(String(children.at(0)?.attrGet('href')))?.[1];
    if (sound !== undefined && children.at(-1)?.type === 'link_close') {
      const label = markdown.renderer.render(children.slice(1, -1), markdown.options, env);
      token.type = 'html_block';
      token.content = soundFigure(sound, label, (env.sounds as SoundBook)(sound));
      tokens[i - 1].hidden = true;
      tokens[i + 1].hidden = true;
    }
  });
  const contents = contentsOf(tokens);
  if (contents) {
    const token = new NewToken('html_block', '', 0);
    token.content = contents.html;
    tokens.splice(contents.place, 0, token);
  }
});

markdown.renderer.rules.table_open = (tokens, i) => {
  const { label, isWide } = frames.get(tokens[i]) ?? { label: 'Table', isWide: false };
  const name = markdown.utils.escapeHtml(label);
  return `<div class="${isWide ? 'wide scroll' : 'scroll'}" tabindex="0" role="region" aria-label="${name}"><table>\n`;
};
markdown.renderer.rules.table_close = () => '</table></div>\n';
markdown.renderer.rules.fence = (tokens, i) =>
  `<pre tabindex="0"><code>${markdown.utils.escapeHtml(tokens[i].content)}</code></pre>\n`;

/** The first heading of a document, as text. */
export function titleOf(source: string): string {
  return (/^# (.+)$/m.exec(source)?.[1] ?? 'dotphase').replace(/`/g, '');
}

/**
 * A document as HTML. Links to `name.md` lead to `name.html`; one to `sounds/name.wav` alone in its paragraph becomes a
 * sound that can be played.
 *
 * @param sounds - what is known of a sound
 */
export function toHtml(source: string, sounds: SoundBook): string {
  return markdown.render(source, { sounds });
}
