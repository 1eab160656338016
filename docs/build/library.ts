/**
 * The library's reference, made by typedoc from the docstrings.
 */
import { fileURLToPath } from 'node:url';
import { Application, JSX } from 'typedoc';

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
    ),
  );
}

/**
 * Writes the reference into a folder.
 *
 * @throws Error where the sources do not compile, or where something public is not documented or not exported
 */
export async function buildLibrary(folder: string): Promise<void> {
  const application = await Application.bootstrapWithPlugins({ options: OPTIONS });
  linkBack(application);
  const project = await application.convert();
  if (project) application.validate(project);
  if (!project || application.logger.hasErrors() || application.logger.hasWarnings()) {
    throw new Error('the reference of the library is not whole: see above');
  }
  await application.generateDocs(project, folder);
  if (application.logger.hasErrors() || application.logger.hasWarnings()) {
    throw new Error('the reference of the library was not written whole: see above');
  }
}
