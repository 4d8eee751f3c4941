import { simulatorArguments, type SimulatorArguments } from './arguments.ts';
import { PLANT_NAMESPACE_URI } from './catalogue.ts';
import { openControlServer } from './face/control-server.ts';
import { openFace, type Face } from './face/opcua-face.ts';
import { SimulatorFault } from './fault.ts';
import { catchUp, controlsOf, keepUp, upsetNamed, type LivePlant } from './live-plant.ts';
import { simulatedPlant } from './simulated-plant.ts';
import { serveSynthetic } from './synthetic.ts';
import { openTruthFile } from './truth/truth-file.ts';
import { readUpsets } from './upsets/upset-file.ts';

/** Contacts are shown at most this late. */
const TICK_MS = 50;
const HISTORY_HOURS = 1.5;

/** Whatever still holds on is cut after this: the caller waits for an exit, not for goodbyes. */
const GOODBYE_MS = 3000;

async function main(): Promise<void> {
  const options = simulatorArguments(process.argv.slice(2));
  const serving = options.synthetic > 0 ? serveSynthetic(options) : servePlant(options);
  // Told to stop while it is still starting, it starts up to where it can stop cleanly.
  const leave = () => {
    setTimeout(() => process.exit(0), GOODBYE_MS).unref();
    void serving.then((stop) => stop()).finally(() => process.exit(0));
  };
  process.once('SIGTERM', leave);
  process.once('SIGINT', leave);
  await serving;
}

async function servePlant(options: SimulatorArguments): Promise<() => Promise<void>> {
  const upsets = readUpsets();
  const story = options.upset === undefined ? undefined : upsetNamed(upsets, options.upset);
  const sim = simulatedPlant({ ...options, stepMs: 1000 / options.hz });
  const face = await openFace({
    port: options.port,
    namespaceUri: PLANT_NAMESPACE_URI,
    tags: sim.tags,
    historyLength: Math.round((HISTORY_HOURS + options.warmMinutes / 60) * 3600),
  });
  const zeroMs = Math.floor(Date.now() / 1000) * 1000 - options.warmMinutes * 60_000;
  const truth = options.truth === undefined ? undefined : openTruthFile(options.truth, zeroMs);
  const live: LivePlant = {
    sim,
    face,
    upsets,
    speed: options.speed,
    zeroMs,
    liveFromMs: Date.now(),
    now: Date.now,
    onTruth: truth === undefined ? undefined : (second) => truth.write(second),
    doubtful: new Set(),
  };
  catchUp(live);
  const control = await openControlServer(options.controlPort, controlsOf(live));
  const ticking = setInterval(() => keepUp(live), TICK_MS);
  if (story !== undefined) controlsOf(live).begin(story.name);
  announce(face);
  return async () => {
    clearInterval(ticking);
    await Promise.all([control.close(), face.close(), truth?.close()]);
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
