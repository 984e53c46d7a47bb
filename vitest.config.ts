import { defineConfig } from 'vitest/config';

// Vitest reads a default export; nothing else in the project has one.
// biome-ignore lint/style/noDefaultExport: the tool's own convention
export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/editor/**'],
    testTimeout: 20_000,
    // Loading the modules anew for each file is half of the suite's time, and none of them keeps a state to be reset.
    isolate: false,
  },
});
