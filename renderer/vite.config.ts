import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

/** Builds the screens; every shell serves the same files. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [react()],
  build: {
    outDir: '../dist/screens',
    emptyOutDir: true,
    target: 'es2022',
    // The policy allows no data: scripts or styles from elsewhere; small files stay files.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
