/**
 * The tests of symbols, calls and frames alone, for mutation testing: `npx stryker run tests/mutation/stryker.config.json`.
 * One thread that keeps its modules, as loading them anew for every mutant takes longer than the tests.
 */
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/{symbols,calls,frames}/*.test.ts'],
    testTimeout: 60_000,
    pool: 'threads',
    isolate: false,
    fileParallelism: false,
  },
});
