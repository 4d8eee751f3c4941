import { dirname, resolve } from 'node:path';
import { AlarmConfigurationSchema, type AlarmConfiguration } from '../contract/alarm-rule.ts';
import type { Crop } from '../contract/plant-description.ts';
import { MachineSettingsSchema, type MachineSettings } from '../contract/machine-settings.ts';
import { Fault } from '../contract/faults.ts';
import { checkedYaml, type CheckedYaml } from './checked-yaml.ts';
import { expandedLine } from './expanded-line.ts';
import { machineProblem } from './machine-problem.ts';
import type { ConfiguredShift, PlantConfig } from './plant-config.ts';
import { PlantFileSchema, type PlantFile } from './plant-file.ts';
import { referenceProblem } from './reference-problem.ts';
import { configuredRetention } from './retention-entry.ts';

/**
 * The configuration of a plant: `file` and the alarm rules that it names.
 *
 * @throws Fault CONFIG_MISSING, CONFIG_SYNTAX, CONFIG_SHAPE, CONFIG_RANGE or CONFIG_REFERENCE; the message names
 * file, line, key, value and remedy.
 */
export async function loadConfig(file: string): Promise<PlantConfig> {
  const plantFile = await checkedYaml(file, PlantFileSchema);
  const plant = plantFile.value;
  const alarmFile = await checkedYaml(resolve(dirname(file), plant.alarms), AlarmConfigurationSchema);
  const machineFile =
    plant.machines === undefined
      ? null
      : await checkedYaml(resolve(dirname(file), plant.machines), MachineSettingsSchema);
  const config = expanded(plant, alarmFile.value, machineFile?.value ?? null);
  const problem = referenceProblem(config, plant);
  if (problem !== null) {
    const { placeOf } = problem.isAlarm ? alarmFile : plantFile;
    throw new Fault('CONFIG_REFERENCE', {
      subject: `${placeOf(problem.subject)} ${problem.subject}`,
      got: problem.got,
      expected: problem.expected,
      remedy: `${problem.remedy}; server not started`,
    });
  }
  if (machineFile !== null) refuseProblem(machineFile, config);
  return config;
}

function refuseProblem({ value, placeOf }: CheckedYaml<MachineSettings>, config: PlantConfig): void {
  const problem = machineProblem(value, config);
  if (problem === null) return;
  const { subject, got, expected, remedy } = problem;
  throw new Fault('CONFIG_REFERENCE', {
    subject: `${placeOf(subject)} ${subject}`,
    got,
    expected,
    remedy: `${remedy}; server not started`,
  });
}

function expanded(
  plant: PlantFile,
  alarms: AlarmConfiguration,
  machines: MachineSettings | null,
): PlantConfig {
  const lines = plant.lines.map((line) => expandedLine(line, plant));
  return {
    name: plant.name,
    ...(plant.currency === undefined ? {} : { currency: plant.currency }),
    timeZone: plant.timeZone,
    shifts: plant.shifts.map(configuredShift),
    tickMs: plant.tickMs,
    holdBackMs: plant.holdBackMs,
    retention: configuredRetention(plant.retention),
    renamed: plant.renamed ?? [],
    endpoints: plant.endpoints,
    crops: plant.crops.map(configuredCrop),
    lines: lines.map(({ graph }) => graph),
    settings: lines.map(({ settings }) => settings),
    tags: lines.flatMap(({ tags }) => tags),
    addresses: lines.flatMap(({ addresses }) => addresses),
    alarms,
    machines,
    firstLots: plant.firstLots ?? [],
  };
}

function configuredShift(shift: PlantFile['shifts'][number]): ConfiguredShift {
  const [hours, minutes] = shift.starts.split(':').map(Number);
  return { name: shift.name, startsMinute: (hours ?? 0) * 60 + (minutes ?? 0) };
}

/** The source of a bushel's weight is for whoever reads the file. */
function configuredCrop({ id, name, bushelMassKg, prices }: PlantFile['crops'][number]): Crop {
  return { id, name, bushelMassKg, ...(prices === undefined ? {} : { prices }) };
}
