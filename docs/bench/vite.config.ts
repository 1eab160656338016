/**
 * Builds the test bench into static files that open from any folder, also without a server.
 */
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** Browsers refuse module scripts from a file on disk; the bundle is one classic script, so it is loaded as one. */
const classicScript: Plugin = {
  name: 'classic-script',
  transformIndexHtml: {
    order: 'post',
    handler: (html) =>
      html.replace('<script type="module" crossorigin', '<script defer').replaceAll(' crossorigin', ''),
  },
};

export default defineConfig({
  root: here('.'),
  base: './',
  plugins: [classicScript],
  resolve: {
    alias: [
      { find: /^dotphase$/, replacement: here('../../src/index.ts') },
      { find: /^dotphase\/([\w/]+)$/, replacement: here('../../src/$1/index.ts') },
    ],
  },
  build: {
    outDir: here('../site/bench'),
    emptyOutDir: true,
    // Fonts go into the style sheet: from a file on disk they could not be loaded by themselves.
    assetsInlineLimit: 200_000,
    cssCodeSplit: false,
    modulePreload: false,
    chunkSizeWarningLimit: 1000,
    rolldownOptions: {
      output: {
        format: 'iife',
        entryFileNames: 'bench.js',
        assetFileNames: 'bench[extname]',
      },
    },
  },
});
