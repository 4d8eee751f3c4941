import { parseArgs } from 'node:util';
import { SimulatorFault } from './fault.ts';
import { CROP_NAMES, type CropName } from './physics/crops/crop.ts';
import { RUN_MODES, type RunMode } from './routes.ts';
import { PROFILES, type Profile } from './tags/tag-entry.ts';

export interface SimulatorArguments {
  readonly port: number;
  readonly controlPort: number;
  readonly profile: Profile;
  readonly crop: CropName;
  readonly run: RunMode;
  readonly seed: number;
  readonly speed: number;
  readonly hz: number;
  readonly warmMinutes: number;
  /** Folder for the truth, or none. */
  readonly truth: string | undefined;
  /** Number of made-up tags to serve instead of the plant; 0 = the plant. */
  readonly synthetic: number;
  /** Upset to begin with, or none. */
  readonly upset: string | undefined;
}

const OPTIONS = {
  port: { type: 'string', default: '48400' },
  'control-port': { type: 'string', default: '48401' },
  profile: { type: 'string', default: 'full' },
  crop: { type: 'string', default: 'soybean' },
  run: { type: 'string', default: 'one-run' },
  seed: { type: 'string', default: '1' },
  speed: { type: 'string', default: '1' },
  hz: { type: 'string', default: '1' },
  'warm-minutes': { type: 'string', default: '30' },
  truth: { type: 'string' },
  synthetic: { type: 'string', default: '0' },
  upset: { type: 'string' },
} as const;

export function simulatorArguments(argv: readonly string[]): SimulatorArguments {
  const values = parsed(argv);
  return {
    port: whole('--port', values.port, [1, 65_535]),
    controlPort: whole('--control-port', values['control-port'], [0, 65_535]),
    profile: choice('--profile', values.profile, PROFILES),
    crop: choice('--crop', values.crop, CROP_NAMES),
    run: choice('--run', values.run, RUN_MODES),
    seed: whole('--seed', values.seed, [0, 4_294_967_295]),
    speed: number('--speed', values.speed, [0.1, 1000]),
    hz: whole('--hz', values.hz, [1, 20]),
    warmMinutes: number('--warm-minutes', values['warm-minutes'], [0, 600]),
    truth: values.truth,
    synthetic: whole('--synthetic', values.synthetic, [0, 50_000]),
    upset: values.upset,
  };
}

function parsed(argv: readonly string[]) {
  try {
    return parseArgs({ args: [...argv], options: OPTIONS, strict: true }).values;
  } catch (cause) {
    throw fault(
      'command line',
      cause instanceof Error ? (cause.message.split('.')[0] ?? '') : String(cause),
      known(),
    );
  }
}

function known(): string {
  return Object.keys(OPTIONS)
    .map((name) => `--${name}`)
    .join(' ');
}

function whole(subject: string, text: string, limits: readonly [number, number]): number {
  const value = number(subject, text, limits);
  if (!Number.isInteger(value)) throw fault(subject, text, 'a whole number');
  return value;
}

function number(subject: string, text: string, [low, high]: readonly [number, number]): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= low && value <= high) return value;
  throw fault(subject, text === '' ? 'nothing' : text, `${low} to ${high}`);
}

function choice<T extends string>(subject: string, text: string, choices: readonly T[]): T {
  const chosen = choices.find((name) => name === text);
  if (chosen === undefined) throw fault(subject, text, `one of ${choices.join(', ')}`);
  return chosen;
}

function fault(subject: string, got: string, expected: string): SimulatorFault {
  return new SimulatorFault({
    code: 'SIM_ARGUMENT',
    subject,
    got,
    expected,
    remedy: 'simulator not started',
  });
}
