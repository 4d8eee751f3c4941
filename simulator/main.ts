import { simulatorArguments, type SimulatorArguments } from './arguments.ts';
import { PLANT_NAMESPACE_URI } from './catalogue.ts';
import { openControlServer } from './face/control-server.ts';
import { openFace, type Face } from './face/opcua-face.ts';
import { SimulatorFault } from './fault.ts';
import { livePlant } from './live-plant.ts';
import { simulatedPlant } from './simulated-plant.ts';
import { serveSynthetic } from './synthetic.ts';
import { readUpsets } from './upsets/upset-file.ts';

/** Contacts are shown at most this late. */
const TICK_MS = 50;
/** The line fills and warms before the watching begins. */
const SETTLE_MS = 20 * 60_000;
const HISTORY_HOURS = 1.5;

async function main(): Promise<void> {
  const options = simulatorArguments(process.argv.slice(2));
  const stop = options.synthetic > 0 ? await serveSynthetic(options) : await servePlant(options);
  const leave = () => {
    // Whatever still holds on is cut after a moment: the caller waits for an exit, not for goodbyes.
    setTimeout(() => process.exit(0), 3000).unref();
    void stop().finally(() => process.exit(0));
  };
  process.once('SIGTERM', leave);
  process.once('SIGINT', leave);
}

async function servePlant(options: SimulatorArguments): Promise<() => Promise<void>> {
  const stepMs = 1000 / options.hz;
  const upsets = readUpsets();
  const sim = simulatedPlant({ seed: options.seed, profile: options.profile, stepMs, settleMs: SETTLE_MS });
  const face = await openFace({
    port: options.port,
    namespaceUri: PLANT_NAMESPACE_URI,
    tags: sim.tags,
    historyLength: Math.round((HISTORY_HOURS + options.warmMinutes / 60) * 3600),
  });
  const zeroMs = Math.floor(Date.now() / 1000) * 1000 - options.warmMinutes * 60_000;
  const live = livePlant({ sim, face, upsets, stepMs, speed: options.speed, zeroMs, now: Date.now });
  live.catchUp();
  const control = await openControlServer(options.controlPort, live.controls);
  const ticking = setInterval(() => {
    live.keepUp();
  }, TICK_MS);
  announce(face);
  if (options.upset !== undefined) live.controls.begin(options.upset);
  return async () => {
    clearInterval(ticking);
    await Promise.all([control.close(), face.close()]);
  };
}

function announce(face: Face): void {
  process.stdout.write(`simulator ready ${face.url}\n`);
}

main().catch((error: unknown) => {
  const text =
    error instanceof SimulatorFault ? error.message : String(error instanceof Error ? error.stack : error);
  process.stderr.write(`${text}\n`);
  process.exit(1);
});
