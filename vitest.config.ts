import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Whole-path and browser tests start real servers and ports; two files at a time is what two busy cores bear.
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default'],
  },
});
