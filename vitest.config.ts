import { defineConfig } from 'vitest/config';
import { ClosingLines } from './tests/support/closing-lines.ts';

const SECOND_MS = 1000;

/** Kinds of test that live in folders of their own; every other test belongs to `unit`. */
const KINDS = {
  house: { timeoutMs: 120 * SECOND_MS, inParallel: true },
  plant: { timeoutMs: 180 * SECOND_MS, inParallel: true },
  // These wait for clocks, ports and processes: side by side they would measure each other.
  wire: { timeoutMs: 60 * SECOND_MS, inParallel: false },
  faults: { timeoutMs: 180 * SECOND_MS, inParallel: false },
  browser: { timeoutMs: 120 * SECOND_MS, inParallel: false },
};

const unit = {
  extends: true as const,
  test: {
    name: 'unit',
    include: ['tests/**/*.test.{ts,tsx}'],
    exclude: [...Object.keys(KINDS), 'bench'].map((kind) => `tests/${kind}/**`),
    testTimeout: 10 * SECOND_MS,
    sequence: { groupOrder: 0 },
  },
};

const kinds = Object.entries(KINDS).map(([name, { timeoutMs, inParallel }], index) => ({
  extends: true as const,
  test: {
    name,
    include: [`tests/${name}/**/*.test.{ts,tsx}`],
    exclude: ['tests/**/node_modules/**', 'tests/house/fixtures/**'],
    testTimeout: timeoutMs,
    hookTimeout: timeoutMs,
    fileParallelism: inParallel,
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
