/**
 * The development loop: simulator and server start anew when a file of theirs changes, and the pages come
 * from the build tool's own server, which shows a change at once and passes calls on to ours.
 */
import path from 'node:path';
import { endWith } from './launch-fault.mjs';
import { pinnedNode } from './pinned-node.mjs';
import { PROJECT_ROOT } from './project-root.mjs';
import { runTogether } from './run-together.mjs';
import { startOptions, USAGE } from './start-options.mjs';
import { MAIN_FILES, startProcess } from './started-process.mjs';

await endWith(() => {
  const options = startOptions(process.argv.slice(2));
  if (options === 'help') {
    console.log(`npm run dev -- [options]\n${USAGE}`);
    return 0;
  }
  const node = pinnedNode();
  const nodeArgs = ['--watch', '--watch-preserve-output'];
  const server = startProcess({
    name: 'server',
    node,
    nodeArgs,
    file: MAIN_FILES.server,
    args: options.serverArgs,
  });
  const plant = options.withSimulator
    ? [startProcess({ name: 'simulator', node, nodeArgs, file: MAIN_FILES.simulator, args: [] })]
    : [];
  // Where the pages' own server passes calls on to; see client/vite.config.ts.
  if (options.port !== undefined) process.env['SIEVEWRIGHT_SERVER'] = `http://127.0.0.1:${options.port}`;
  const pages = startProcess({
    name: 'pages',
    node,
    file: path.join(PROJECT_ROOT, 'node_modules', 'vite', 'bin', 'vite.js'),
    args: ['--config', 'client/vite.config.ts'],
  });
  return runTogether([server, ...plant, pages]);
});
