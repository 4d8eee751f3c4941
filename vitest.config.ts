import { defineConfig } from 'vitest/config';
import { ClosingLines } from './tests/support/closing-lines.ts';

const SECOND_MS = 1000;

/** Kinds of test that live in folders of their own; every other test belongs to `unit`. */
const KIND_TIMEOUTS_MS = {
  house: 120 * SECOND_MS,
  plant: 180 * SECOND_MS,
  // These mostly wait for clocks, ports and processes of their own, and poll: two at a time halve the wait.
  wire: 60 * SECOND_MS,
  faults: 180 * SECOND_MS,
  browser: 120 * SECOND_MS,
};

const unit = {
  extends: true as const,
  test: {
    name: 'unit',
    include: ['tests/**/*.test.{ts,tsx}'],
    exclude: [...Object.keys(KIND_TIMEOUTS_MS), 'bench'].map((kind) => `tests/${kind}/**`),
    testTimeout: 10 * SECOND_MS,
    sequence: { groupOrder: 0 },
  },
};

const kinds = Object.entries(KIND_TIMEOUTS_MS).map(([name, timeoutMs], index) => ({
  extends: true as const,
  test: {
    name,
    include: [`tests/${name}/**/*.test.{ts,tsx}`],
    exclude: ['tests/**/node_modules/**', 'tests/house/fixtures/**'],
    testTimeout: timeoutMs,
    hookTimeout: timeoutMs,
    // One kind after the other, so that a failure in a quick kind shows before the slow ones start.
    sequence: { groupOrder: index + 1 },
  },
}));

export default defineConfig({
  test: {
    projects: [unit, ...kinds],
    setupFiles: ['tests/support/fixed-seed.ts'],
    reporters: ['default', new ClosingLines()],
    maxWorkers: 2,
    retry: 0,
    allowOnly: false,
  },
});
