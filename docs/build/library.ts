/**
 * The library's reference, made by typedoc from the docstrings.
 */
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Application, DeclarationReflection, JSX, PageEvent, ReflectionKind } from 'typedoc';
import type { Place } from './search.js';

const OPTIONS = fileURLToPath(new URL('../../typedoc.json', import.meta.url));

/** A way back from every page of the reference to the documents. */
function linkBack(application: Application): void {
  const { hooks } = application.renderer;
  hooks.on('head.end', ({ relativeURL }) =>
    JSX.createElement('link', { rel: 'stylesheet', href: relativeURL('../library.css') }),
  );
  hooks.on('body.begin', ({ relativeURL }) =>
    JSX.createElement(
      'nav',
      { class: 'documents', 'aria-label': 'Documents' },
      JSX.createElement('a', { href: relativeURL('../index.html') }, 'dotphase documents'),
      JSX.createElement('a', { href: relativeURL('../simulator.html') }, 'Guide for developers'),
      JSX.createElement('a', { href: relativeURL('../bench/index.html') }, 'Test bench'),
      JSX.createElement('a', { href: relativeURL('../search.html') }, 'Search everything'),
    ),
  );
}

/**
 * A page of the reference as everyone can read it: its parts landmarks, its headings in steps of one, no link within
 * what opens and closes, its icons out of the page itself, for from disk no other file may be asked for them.
 */
export function madeReadable(html: string): string {
  const above: { written: number; level: number }[] = [];
  return html
    .replace('<div class="col-content">', '<div class="col-content" role="main">')
    .replace(
      '<div class="col-sidebar">',
      '<div class="col-sidebar" role="complementary" aria-label="Contents">',
    )
    .replace(/<summary[^]*?<\/summary>/g, (summary) =>
      summary.replace(/<a [^>]*"tsd-anchor-icon"[^]*?<\/a>/g, ''),
    )
    .replace(/href="[^"]*icons\.svg#/g, 'href="#')
    .replace(/<h([1-6])(?=[ >])/g, (_, digit: string) => {
      const written = Number(digit);
      while ((above.at(-1)?.written ?? 0) >= written) above.pop();
      const level = (above.at(-1)?.level ?? 0) + 1;
      above.push({ written, level });
      return level === written ? `<h${digit}` : `<h${digit} aria-level="${level}"`;
    });
}

function rewrite(folder: string): void {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' });
  for (const file of files.filter((each) => each.endsWith('.html'))) {
    const path = join(folder, file);
    writeFileSync(path, madeReadable(readFileSync(path, 'utf8')));
  }
}

/** Collects every page about something public with what its docstring says, to be found by the search. */
function placesOf({ renderer }: Application): Place[] {
  const places: Place[] = [];
  renderer.on(PageEvent.BEGIN, ({ model, url }: PageEvent) => {
    if (!(model instanceof DeclarationReflection)) return;
    const comments = [model.comment, ...(model.signatures ?? []).map(({ comment }) => comment)];
    const words = comments.flatMap((comment) => comment?.summary ?? []).map(({ text }) => text);
    const page = `Library: ${ReflectionKind.singularString(model.kind).toLowerCase()}`;
    places.push({ page, title: model.name, url: `api/${url}`, text: words.join('') });
  });
  return places;
}

/**
 * Writes the reference into a folder.
 *
 * @returns the places in it that a search finds
 * @throws Error where the sources do not compile, or where something public is not documented or not exported
 */
export async function buildLibrary(folder: string): Promise<Place[]> {
  const application = await Application.bootstrapWithPlugins({ options: OPTIONS });
  linkBack(application);
  const places = placesOf(application);
  const project = await application.convert();
  if (project) {
    application.validate(project);
    // Rooms that open and close in the menu would be links within buttons; each room has its items on its page.
    application.options.setValue(
      'navigationLeaves',
      project.getChildrenByKind(ReflectionKind.Module).map(({ name }) => name),
    );
  }
  if (!project || application.logger.hasErrors() || application.logger.hasWarnings()) {
    throw new Error('the reference of the library is not whole: see above');
  }
  await application.generateDocs(project, folder);
  if (application.logger.hasErrors() || application.logger.hasWarnings()) {
    throw new Error('the reference of the library was not written whole: see above');
  }
  rewrite(folder);
  return places;
}
