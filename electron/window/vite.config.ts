import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

/** Builds the preload, which a sandboxed page takes as one CommonJS file only. */
export default defineConfig({
  root: fileURLToPath(new URL('../..', import.meta.url)),
  build: {
    ssr: fileURLToPath(new URL('./preload.ts', import.meta.url)),
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: false,
    minify: false,
    rolldownOptions: {
      external: ['electron'],
      output: { format: 'cjs', entryFileNames: 'preload.cjs' },
    },
  },
});
