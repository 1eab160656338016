import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('../..', import.meta.url));

export default defineConfig({
  root,
  resolve: {
    alias: [
      { find: /^dotphase$/, replacement: `${root}src/index.ts` },
      { find: /^dotphase\/([\w/]+)$/, replacement: `${root}src/$1/index.ts` },
    ],
  },
  test: {
    include: ['tests/browser/*.test.ts'],
    globalSetup: 'tests/browser/site.ts',
    setupFiles: 'tests/browser/leftpages.ts',
    fileParallelism: false,
    testTimeout: 120_000,
    hookTimeout: 60_000,
    // Sound plays in real time here: a busy machine leaves gaps in it that no sound card would.
    retry: 2,
  },
});
