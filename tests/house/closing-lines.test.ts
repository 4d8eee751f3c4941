import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { temporaryTree } from './temporary-tree.ts';
import { PROJECT_ROOT, runScript, type ToolEnd } from './run-tool.ts';

const RUNNER = 'node_modules/vitest/vitest.mjs';
const inProject = (file: string) => JSON.stringify(path.join(PROJECT_ROOT, file));

/** A small project with our reporter and our seed, whose tests we know. */
const tree = temporaryTree({
  'vitest.config.ts': `
    import { ClosingLines } from ${inProject('tests/support/closing-lines.ts')};
    export default { test: { globals: true, setupFiles: [${inProject('tests/support/fixed-seed.ts')}], reporters: [new ClosingLines()] } };`,
  'good.test.ts': 'it("holds", () => {}); it("holds too", () => {});',
  'bad.test.ts': 'it("does not hold", () => { expect(1).toBe(2); }); it["skip"]("waits", () => {});',
  'broken.test.ts': 'throw new Error("before the first test");',
  'seed.test.ts': `
    import fc from ${inProject('node_modules/fast-check/lib/fast-check.js')};
    it("has the seed", () => { expect(fc.readConfigureGlobal().seed).toBe(Number(process.env.SEED)); });`,
});
afterAll(tree.remove);

function run(files: readonly string[], env: NodeJS.ProcessEnv = {}): Promise<ToolEnd> {
  return runScript(RUNNER, ['run', '--root', tree.folder, ...files], { cwd: tree.folder, env });
}

describe('a test run', () => {
  let failed: ToolEnd = { exitCode: null, output: '', errors: '' };
  let passed: ToolEnd = failed;
  beforeAll(async () => {
    failed = await run([], { SEED: '77' });
    passed = await run(['good'], { SEED: '' });
  });

  it('ends with one plain line that counts every test, and each file that broke as failed', () => {
    expect(failed.output.trimEnd().split('\n').at(-1)).toBe('3 passed, 2 failed, 1 skipped');
    expect(failed.exitCode).toBe(1);
  });

  it('tells after a failure how to play it again', () => {
    expect(failed.output).toContain('SEED=77 npm test plays the same run again.');
  });

  it('says no more than the count when all is well', () => {
    expect(passed.output.trim()).toBe('2 passed, 0 failed');
    expect(passed.exitCode).toBe(0);
  });

  it('draws the examples of properties from SEED', async () => {
    expect((await run(['seed'], { SEED: '78' })).output.trim()).toBe('1 passed, 0 failed');
  });

  it('refuses a SEED that is no number, and names it', async () => {
    const { output, errors, exitCode } = await run(['good'], { SEED: 'often' });
    expect(exitCode).toBe(1);
    expect(output + errors).toContain(
      'ARGUMENT_INVALID SEED: got often, expected a whole number from 0 to 2147483647',
    );
  });
});
