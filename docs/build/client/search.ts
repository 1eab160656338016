/**
 * The search over all pages: in the page itself, without a server.
 */
import MiniSearch from 'minisearch';
import type { Place } from '../search.js';

const { dotphasePlaces: places } = globalThis as unknown as { readonly dotphasePlaces: readonly Place[] };

/** So many places are shown. */
const MOST = 40;
/** Characters of text shown around what was found. */
const AROUND = 90;

const index = new MiniSearch<Place & { readonly id: number }>({
  fields: ['title', 'page', 'text'],
  searchOptions: {
    boost: { title: 4, page: 2 },
    prefix: (term) => term.length > 1,
    fuzzy: (term) => (term.length > 4 && !/\d/.test(term) ? 0.2 : false),
  },
});
index.addAll(places.map((place, id) => ({ ...place, id })));

interface Found {
  readonly place: Place;
  /** The words of the place that were found. */
  readonly words: readonly string[];
}

function find(query: string): Found[] {
  const all = index.search(query, { combineWith: 'AND' });
  const found = all.length > 0 ? all : index.search(query);
  return found.map(({ id, terms }) => ({ place: places[Number(id)], words: terms }));
}

/** A piece of the text around the first of the words, with the words marked. */
function excerpt({ text }: Place, words: readonly string[]): Node[] {
  const lower = text.toLowerCase();
  const hits = words.map((word) => lower.indexOf(word)).filter((at) => at >= 0);
  const centre = hits.length > 0 ? Math.min(...hits) : 0;
  const from = Math.max(0, centre - AROUND);
  const shown = text.slice(from, centre + 2 * AROUND);
  const escaped = words.map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
  const pieces = escaped.length > 0 ? shown.split(new RegExp(`(${escaped.join('|')})`, 'i')) : [shown];
  const nodes = pieces.map((piece, i) => {
    if (i % 2 === 0) return document.createTextNode(piece);
    const mark = document.createElement('mark');
    mark.textContent = piece;
    return mark;
  });
  const dots = (isCut: boolean) => document.createTextNode(isCut ? '…' : '');
  return [dots(from > 0), ...nodes, dots(centre + 2 * AROUND < text.length)];
}

function item({ place, words }: Found): HTMLLIElement {
  const link = document.createElement('a');
  link.href = place.url;
  link.textContent = place.title === place.page ? place.title : `${place.page}: ${place.title}`;
  const text = document.createElement('p');
  text.append(...excerpt(place, words));
  const all = document.createElement('li');
  all.append(link, text);
  return all;
}

const element = (id: string) => document.getElementById(id);
const field = element('query') as HTMLInputElement;

function show(): void {
  const query = field.value.trim();
  const found = query === '' ? [] : find(query);
  element('found')?.replaceChildren(...found.slice(0, MOST).map(item));
  const said = element('count');
  if (!said) return;
  const places = `${found.length} ${found.length === 1 ? 'place' : 'places'}`;
  said.textContent =
    query === ''
      ? ''
      : found.length === 0
        ? `Nothing is found for “${query}”. Fewer or other words may do.`
        : found.length > MOST
          ? `${places}, the best ${MOST} of them here.`
          : `${places}.`;
}

field.value = new URLSearchParams(location.search).get('q') ?? '';
field.addEventListener('input', show);
field.focus();
show();
