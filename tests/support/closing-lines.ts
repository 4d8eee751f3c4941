import type { Reporter, TestModule } from 'vitest/node';
import { SEED } from './seed.ts';

/**
 * Ends a run with one plain line that any machine can read, and after a failure with the seed that plays
 * the same run again.
 */
export class ClosingLines implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const counts = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) counts[test.result().state] += 1;
    }
    // A file that broke before its first test has failed too, though it counts no test.
    const brokenFiles = modules.filter((module) => module.errors().length > 0).length;
    const failed = counts.failed + brokenFiles;
    const skipped = counts.skipped + counts.pending;
    if (failed > 0) console.log(`Seed ${SEED}: SEED=${SEED} npm test plays the same run again.`);
    console.log(`${counts.passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
  }
}
