import { createHash } from 'node:crypto';
import {
  existsSync,
  globSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { deserialize, serialize } from 'node:v8';
import { plantTruth, type PlantTruth, type TruthPlan } from '#tests/support/plant-truth.ts';

const ROOT = join(import.meta.dirname, '..', '..', '..');
const FOLDER = join(ROOT, 'node_modules', '.cache', 'sievewright-figures');
const VERSION = versionOfSimulator();

/** The truth of a plan, from the cache where the simulator has not changed since. */
export function cachedTruth(plan: TruthPlan): PlantTruth {
  const file = join(FOLDER, VERSION, `${digestOf([JSON.stringify(plan)])}.bin`);
  if (existsSync(file)) return deserialize(readFileSync(file)) as PlantTruth;
  const truth = plantTruth(plan);
  mkdirSync(join(FOLDER, VERSION), { recursive: true });
  // Renamed when it is whole: another process may be asking for the same plan.
  const whole = `${file}.${process.pid}.${performance.now()}`;
  writeFileSync(whole, serialize(truth));
  renameSync(whole, file);
  return truth;
}

/** Removes what an earlier version of the simulator left; tells whether there is anything of this one. */
export function tidiedCache(): 'warm' | 'cold' {
  if (!existsSync(FOLDER)) return 'cold';
  for (const name of readdirSync(FOLDER)) {
    if (name !== VERSION) rmSync(join(FOLDER, name), { recursive: true });
  }
  return existsSync(join(FOLDER, VERSION)) ? 'warm' : 'cold';
}

/** Everything that decides what a plan becomes: the simulator, the units that it shares, and how it is recorded. */
function versionOfSimulator(): string {
  const sources = globSync('simulator/**/*.ts', { cwd: ROOT }).sort();
  const others = ['server/calc/units.ts', 'tests/support/plant-truth.ts'];
  return digestOf([...sources, ...others].flatMap((name) => [name, readFileSync(join(ROOT, name), 'utf8')]));
}

function digestOf(parts: readonly string[]): string {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part).update('\0');
  return hash.digest('hex').slice(0, 20);
}
