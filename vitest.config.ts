import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    // one less than there are processors would be one where there are two
    maxWorkers: 2,
    hookTimeout: 120_000,
  },
});
