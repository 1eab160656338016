/**
 * The tests of symbols, calls and frames alone, for mutation testing: `npx stryker run tests/mutation/stryker.config.json`.
 */
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: { include: ['tests/{symbols,calls,frames}/*.test.ts'], testTimeout: 60_000 },
});
