/**
 * A printed sheet within the page: its own styles, which touch nothing else, in a root of its own.
 */
import { useEffect, useRef } from 'preact/hooks';

const STYLE = /<style>([\s\S]*?)<\/style>/;

/** Shows the main part of a whole HTML document. */
export function PaperSheet({ html, label }: { html: string; label: string }) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const element = host.current;
    if (!element) return;
    // A style element would be refused by the page's policy even in a document that is only read.
    const style = new CSSStyleSheet();
    style.replaceSync(STYLE.exec(html)?.[1] ?? '');
    const parsed = new DOMParser().parseFromString(html.replace(STYLE, ''), 'text/html');
    const root = element.shadowRoot ?? element.attachShadow({ mode: 'open' });
    root.adoptedStyleSheets = [style];
    const body = document.createElement('div');
    body.className = 'body';
    body.append(...(parsed.querySelector('main')?.childNodes ?? []));
    root.replaceChildren(body);
  }, [html]);
  return <div class="paper-sheet" ref={host} role="document" aria-label={label} />;
}
