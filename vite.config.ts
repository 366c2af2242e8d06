import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** Builds what runs under Node; packages stay outside the bundles. */
export default defineConfig({
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    minify: false,
    rolldownOptions: {
      input: {
        cli: here('./electron/cli.ts'),
        start: here('./electron/start.ts'),
        'tracing-worker': here('./electron/tracing/worker.ts'),
      },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
  ssr: { target: 'node' },
});
