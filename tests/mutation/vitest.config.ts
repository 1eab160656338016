/**
 * The tests of symbols, calls, frames and procedures alone, for mutation testing: `npx stryker run tests/mutation/stryker.config.json`.
 * One thread that keeps its modules, as loading them anew for every mutant takes longer than the tests.
 */
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/{symbols,calls,frames,procedures}/*.test.ts'],
    testTimeout: 60_000,
    pool: 'threads',
    isolate: false,
    fileParallelism: false,
  },
});
