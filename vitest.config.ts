import { defineConfig } from 'vitest/config';

/** Mocks of modules and a CommonJS library (wavefile) need their sources loaded by vite. */
const THROUGH_VITE = ['tests/{wav,vectors}/**/*.test.ts', 'tests/cli/humanoperator.test.ts'];

const limits = {
  // Only against hangs: machines may be slow.
  testTimeout: 300_000,
  hookTimeout: 300_000,
};

export default defineConfig({
  test: {
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'node',
          include: ['tests/**/*.test.ts'],
          // Those of the browser and of the package have configs of their own.
          exclude: [...THROUGH_VITE, 'tests/browser/**', 'tests/package/**', 'node_modules/**'],
          // Their sources are loaded by Node itself, through tsx: several times faster than through vite, where
          // every import is looked up at every use (measured).
          execArgv: ['--import', 'tsx'],
          server: { deps: { external: [/\/src\//] } },
          isolate: false,
          ...limits,
        },
      },
      {
        test: {
          name: 'vite',
          include: THROUGH_VITE,
          ...limits,
        },
      },
    ],
  },
});
