/** Runs one measurement of tests/bench by its name: `npm run bench -- live [options]`. */
import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { endWith, LaunchFault } from './launch-fault.mjs';
import { environmentWith, pinnedNode } from './pinned-node.mjs';
import { PROJECT_ROOT } from './project-root.mjs';
import { runChild } from './run-child.mjs';

const FOLDER = path.join(PROJECT_ROOT, 'tests', 'bench');

await endWith(async () => {
  const [name = 'no name', ...args] = process.argv.slice(2);
  const known = benchNames();
  if (!known.includes(name)) {
    throw new LaunchFault('ARGUMENT_INVALID', {
      subject: 'bench',
      got: name,
      expected:
        known.length === 0
          ? 'a measurement in tests/bench, where there is none'
          : `one of ${known.join(', ')}`,
      remedy: 'npm run bench -- <name>',
    });
  }
  const node = pinnedNode();
  const script = path.join(FOLDER, `${name}.ts`);
  const end = await runChild([node, script, ...args], { show: true, env: environmentWith(node) });
  return end.exitCode;
});

/** Measurements are the files that lie directly in the folder; what they share lies in folders below. */
function benchNames() {
  if (!existsSync(FOLDER)) return [];
  const scripts = readdirSync(FOLDER).filter((file) => file.endsWith('.ts') && !file.endsWith('.test.ts'));
  return scripts.map((file) => path.basename(file, '.ts')).sort();
}
