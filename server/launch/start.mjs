/**
 * Starts the server, and the simulated plant unless a real one is configured, and stays until they are
 * stopped. Both start at once: the server copes with a plant that is not there yet.
 */
import { endWith } from './launch-fault.mjs';
import { pinnedNode } from './pinned-node.mjs';
import { runTogether } from './run-together.mjs';
import { startOptions, USAGE } from './start-options.mjs';
import { MAIN_FILES, startProcess } from './started-process.mjs';

/** Half an hour of warm running behind it, and something small going wrong within five minutes. */
const DEMO = ['--upset', 'demo-story'];

await endWith(() => {
  const options = startOptions(process.argv.slice(2));
  if (options === 'help') {
    console.log(`npm start -- [options]\n${USAGE}`);
    return 0;
  }
  const node = pinnedNode();
  console.log(
    options.withSimulator ? 'Starting the simulated plant and the server ...' : 'Starting the server ...',
  );
  const server = startProcess({ name: 'server', node, file: MAIN_FILES.server, args: options.serverArgs });
  const plant = options.withSimulator
    ? [startProcess({ name: 'simulator', node, file: MAIN_FILES.simulator, args: DEMO })]
    : [];
  void server.ready.then((address) => {
    console.log(`\n  Open in a browser:  ${address}\n  Stop:               Ctrl-C\n`);
  });
  return runTogether([server, ...plant]);
});
