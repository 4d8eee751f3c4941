import { createWriteStream, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { SimulatorFault } from '../fault.ts';
import { STREAM_NAMES, type Truth } from './truth.ts';

export interface TruthFile {
  write(truth: Truth): void;
  close(): Promise<void>;
}

/** Writes the truth of every second as a table beside the run, for tests. It is never offered over OPC UA. */
export function openTruthFile(folder: string, zeroMs: number): TruthFile {
  const path = join(folder, 'truth.csv');
  try {
    mkdirSync(folder, { recursive: true });
  } catch (cause) {
    throw truthFault(folder, cause);
  }
  const stream = createWriteStream(path);
  let failure: unknown;
  stream.on('error', (cause) => {
    failure ??= cause;
    process.stderr.write(`${truthFault(path, cause).message}\n`);
  });
  stream.write(`${truthHeader().join(',')}\n`);
  return {
    write(truth) {
      if (failure === undefined) stream.write(`${truthRow(truth, zeroMs).join(',')}\n`);
    },
    close: () => new Promise((resolve) => stream.end(() => resolve())),
  };
}

function truthFault(path: string, cause: unknown): SimulatorFault {
  return new SimulatorFault(
    {
      code: 'SIM_TRUTH',
      subject: path,
      got: cause instanceof Error ? cause.message : String(cause),
      expected: 'a folder that can be written to',
      remedy: 'name another with --truth; the plant runs on without',
    },
    cause,
  );
}

function truthHeader(): readonly string[] {
  const streams = STREAM_NAMES.flatMap((name) => [
    `${name}KgPerH`,
    `${name}PurityRatio`,
    `${name}GerminationRatio`,
  ]);
  return [
    'timeMs',
    ...streams,
    'seedWheelKgPerH',
    'pumpAMlPerMin',
    'pumpBMlPerMin',
    'pumpCMlPerMin',
    'evaporatedKgPerH',
    'failures',
  ];
}

/** One line; nothing stands where nothing flows. */
function truthRow(truth: Truth, zeroMs: number): readonly string[] {
  const streams = STREAM_NAMES.flatMap((name) => {
    const { kgPerH, purity, germination } = truth.streams[name];
    return [kgPerH.toFixed(3), purity?.toFixed(5) ?? '', germination?.toFixed(5) ?? ''];
  });
  const failures = truth.failures.map(({ kind, target, size }) =>
    `${kind} ${target} ${size.toPrecision(6)}`.replace('  ', ' '),
  );
  return [
    String(zeroMs + truth.timeMs),
    ...streams,
    truth.seedWheelKgPerH.toFixed(3),
    ...truth.pumpsMlPerMin.map((flow) => flow.toFixed(3)),
    truth.evaporatedKgPerH.toFixed(3),
    failures.join('; '),
  ];
}
