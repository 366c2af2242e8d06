import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** Builds what runs under Node; packages stay outside the bundles. */
export default defineConfig({
  root: here('..'),
  build: {
    ssr: true,
    target: 'node20',
    outDir: here('../dist'),
    emptyOutDir: true,
    minify: false,
    rolldownOptions: {
      input: {
        cli: here('./cli.ts'),
        start: here('./start.ts'),
        main: here('./main.ts'),
        'tracing-worker': here('./tracing/worker.ts'),
        'assistant-worker': here('./tracing/assistant-worker.ts'),
        'reading-worker': here('./tracing/reading-worker.ts'),
        'container-worker': here('./media/container-worker.ts'),
        'comparing-worker': here('./desk/comparing-worker.ts'),
        'rep-worker': here('./desk/rep-worker.ts'),
      },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
  ssr: { target: 'node' },
});
