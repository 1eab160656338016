/**
 * Builds the bench and serves it as plain files while the tests run.
 */
import { fileURLToPath } from 'node:url';
import { build, preview } from 'vite';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  interface ProvidedContext {
    /** Where the bench is served. */
    url: string;
  }
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const root = fileURLToPath(new URL('../../docs/bench', import.meta.url));
  const shared = { root, configFile: `${root}/vite.config.ts`, logLevel: 'error' as const };
  // Vitest says `test`, by which the page would be built for its developers.
  process.env.NODE_ENV = 'production';
  await build(shared);
  process.env.NODE_ENV = 'test';
  const server = await preview({ ...shared, preview: { port: 4700, host: '127.0.0.1' } });
  project.provide('url', server.resolvedUrls?.local[0] ?? '');
  return () => server.close();
}
