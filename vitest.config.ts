import { defineConfig } from 'vitest/config';

/** A CommonJS library (wavefile) needs to be loaded by vite. */
const THROUGH_VITE = ['tests/{wav,vectors}/**/*.test.ts'];
/** So do modules whose imports are mocked. */
const MOCKED = ['tests/cli/humanoperator.test.ts'];

/** What takes long by its nature: `npm run test:long`, and no part of `npm test`. */
const LONG = ['tests/**/*.long.test.ts'];

/** Those of the browser and of the package have configs of their own. */
const ELSEWHERE = ['tests/browser/**', 'tests/package/**', 'node_modules/**'];

/** Of all projects. */
const common = {
  // Only against hangs: machines may be slow.
  testTimeout: 300_000,
  hookTimeout: 300_000,
  setupFiles: ['tests/typedarrays.ts'],
};

/**
 * Of those whose sources are loaded by Node itself, through tsx: several times faster than through vite, where every
 * import is looked up at every use (measured).
 */
const throughNode = {
  // Memory is cleared less often, and by the thread that tests: the other processor has tests of its own.
  execArgv: ['--import', 'tsx', '--max-semi-space-size=64', '--single-threaded-gc'],
  server: { deps: { external: [/\/src\//] } },
  isolate: false,
  ...common,
};

export default defineConfig({
  test: {
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'node',
          include: ['tests/**/*.test.ts'],
          exclude: [...THROUGH_VITE, ...MOCKED, ...LONG, ...ELSEWHERE],
          ...throughNode,
        },
      },
      {
        test: {
          name: 'long',
          include: LONG,
          ...throughNode,
        },
      },
      {
        test: {
          name: 'mocked',
          include: MOCKED,
          execArgv: ['--import', 'tsx'],
          server: { deps: { external: [/\/src\/(?!cli\/rehearse\/)/] } },
          ...common,
        },
      },
      {
        test: {
          name: 'vite',
          include: THROUGH_VITE,
          ...common,
        },
      },
    ],
  },
});
