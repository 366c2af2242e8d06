import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/**
 * Packages that only work things out, with what they stand on: each thread that starts would open hundreds of their files, which
 * took 0.3 s of the command line's start.
 */
const builtIn = [
  /^@stdlib\//,
  /^d3-/,
  'internmap',
  /^ml-/,
  'is-any-array',
  /^pure-rand/,
  'zod',
  'mediabunny',
];

/** Builds what runs under Node; all other packages stay outside the bundles. */
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
        'drawing-worker': here('./desk/drawing-worker.ts'),
      },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
  ssr: { target: 'node', noExternal: builtIn },
});
