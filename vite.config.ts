/** Bundles the window from `renderer/` into `dist/renderer`, from where the host serves it. */
import { rmSync } from 'node:fs';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

/** The compiler keeps its declarations in the same folder, so that only what this build made goes before the next. */
const withoutOldAssets: Plugin = {
  name: 'without-old-assets',
  buildStart: () => rmSync('dist/renderer/assets', { recursive: true, force: true }),
};

export default defineConfig({
  root: 'renderer',
  base: './',
  plugins: [react(), withoutOldAssets],
  worker: { format: 'es' },
  build: {
    outDir: '../dist/renderer',
    emptyOutDir: false,
    target: 'es2022',
    // A file of its own for everything: the content security policy allows no data: fonts or scripts.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 2000,
    reportCompressedSize: false,
  },
});
