import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // They have configs of their own: one needs Chromium, the other the package built and packed.
    exclude: ['tests/browser/**', 'tests/package/**', 'node_modules/**'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
