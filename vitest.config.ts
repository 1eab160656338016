import { defineConfig } from 'vitest/config';

/** Tests that compute for long; those that need a CommonJS library (wavefile) or mocks stay with the others. */
const LONG = ['tests/{modem,receiver,scenes,exam,simulation,procedures,channel,calls,records}/**/*.test.ts'];

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
          name: 'long',
          include: LONG,
          // Their sources are loaded by Node itself, through tsx: several times faster than through vite, where
          // every import is looked up at every use (measured).
          execArgv: ['--import', 'tsx'],
          server: { deps: { external: [/\/src\//] } },
          ...limits,
        },
      },
      {
        test: {
          name: 'rest',
          include: ['tests/**/*.test.ts'],
          // Those of the browser and of the package have configs of their own.
          exclude: [...LONG, 'tests/browser/**', 'tests/package/**', 'node_modules/**'],
          ...limits,
        },
      },
    ],
  },
});
