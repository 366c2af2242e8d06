import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/properties.ts', 'tests/e2e/shown-on-failure.ts'],
    exclude: ['tests/bench/**'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
    // What is waited for in a browser may take long where the machine has much else to do.
    expect: { poll: { timeout: 30_000 } },
    // What did not come in time is waited for once more: what was shown instead is printed. Nothing else is tried again.
    retry: { count: 1, condition: /Timeout \d+ms exceeded/ },
  },
});
