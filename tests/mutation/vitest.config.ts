/**
 * The tests of symbols, calls, frames and procedures alone, for mutation testing: `npx stryker run tests/mutation/stryker.config.json`.
 * One thread that keeps its modules, as loading them anew for every mutant takes longer than the tests.
 * `MUTATION_ROOMS=frames` takes the tests of one room, `MUTATION_TESTS=tests/calls/fields.test.ts` one file of them: what
 * that finds, all of them find.
 */
import { defineConfig } from 'vitest/config';

const rooms = process.env.MUTATION_ROOMS ?? '{symbols,calls,frames,procedures}';

export default defineConfig({
  test: {
    include: [process.env.MUTATION_TESTS ?? `tests/${rooms}/*.test.ts`],
    testTimeout: 60_000,
    pool: 'threads',
    isolate: false,
    fileParallelism: false,
  },
});
