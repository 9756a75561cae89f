import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

// The page of the workbench: bundled whole, since nothing is fetched from anywhere else at run time.
export default defineConfig({
  root: fileURLToPath(new URL('src/web', import.meta.url)),
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  build: {
    outDir: fileURLToPath(new URL('dist/web', import.meta.url)),
    emptyOutDir: true,
    target: 'es2022',
    // the strict content policy of the server forbids the inline helper
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 1500,
  },
});
