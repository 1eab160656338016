/**
 * Builds the page of a watch into the package, where the command line serves it from.
 */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('.'),
  base: './',
  logLevel: 'warn',
  build: {
    outDir: here('../../dist/page'),
    emptyOutDir: true,
    cssCodeSplit: false,
    modulePreload: false,
    rolldownOptions: {
      output: { entryFileNames: 'page.js', assetFileNames: 'page[extname]' },
    },
  },
});
