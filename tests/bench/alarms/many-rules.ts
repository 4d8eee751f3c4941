import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart } from '#server/alarms/alarm-state.ts';
import { stepAlarms } from '#server/alarms/step-alarms.ts';
import type { AlarmConfiguration, AlarmRule } from '#server/contract/alarm-rule.ts';
import type { Reading } from '#server/contract/reading.ts';
import { randomStream, type RandomStream } from '#simulator/physics/random.ts';

export interface TickTimes {
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly slowestMs: number;
  /** Of this process, on the average; other work on the machine does not count. */
  readonly cpuMs: number;
  readonly transitions: number;
}

const RULES = 10_000;
const TICK_MS = 250;
/** The first ticks run on code that is not compiled yet. */
const WARM_UP_TICKS = 20;
const KINDS = ['limit', 'change', 'drift', 'quality', 'condition'] as const;

/** How long a tick takes in which the subject of every one of 10,000 rules has a new value; a few cross their limit. */
export function timesOfTicks(configuration: AlarmConfiguration, ticks: number, seed: number): TickTimes {
  const rules = Array.from({ length: RULES }, (_, at) => ruleOf(at, firstCard(configuration)));
  const setup = alarmSetup({ ...configuration, rules, firstStop: [], suppressions: [] }, []);
  const random = randomStream(seed, 'many rules');
  const latest = new Map<string, Reading>();
  const times: number[] = [];
  let state = alarmStateAtStart(setup);
  let transitions = 0;
  let cpuMicroseconds = 0;
  for (let tick = 1; tick <= WARM_UP_TICKS + ticks; tick += 1) {
    const endMs = tick * TICK_MS;
    const readings = rules.map((_, at) => readingOf(at, endMs, random));
    for (const reading of readings) latest.set(reading.tag, reading);
    const frame = { endMs, tickMs: TICK_MS, readings, latest };
    const [cpuBefore, startedMs] = [process.cpuUsage(), performance.now()];
    const step = stepAlarms(setup, state, { frame, figures: new Map(), acknowledgements: [] });
    const tookMs = performance.now() - startedMs;
    const { user, system } = process.cpuUsage(cpuBefore);
    if (tick > WARM_UP_TICKS) {
      times.push(tookMs);
      cpuMicroseconds += user + system;
    }
    transitions += step.transitions.length;
    state = step.state;
  }
  const sorted = times.toSorted((a, b) => a - b);
  const atShare = (share: number) => sorted[Math.ceil(share * sorted.length) - 1] ?? NaN;
  const cpuMs = cpuMicroseconds / times.length / 1000;
  return { medianMs: atShare(0.5), p95Ms: atShare(0.95), slowestMs: atShare(1), cpuMs, transitions };
}

function firstCard(configuration: AlarmConfiguration): string {
  const [card] = Object.keys(configuration.cards);
  if (card === undefined) throw new RangeError('the configuration has no card');
  return card;
}

function readingOf(at: number, endMs: number, random: RandomStream): Reading {
  const value = 50 + 10 * random.normal();
  return { tag: tagOf(at), sourceTimeMs: endMs, arrivalMs: endMs, value, quality: 'good' };
}

function tagOf(at: number): string {
  return `a.m${at % 500}.t${at}`;
}

/** Kinds in equal parts; a limit is crossed about once in 700 values. */
function ruleOf(at: number, card: string): AlarmRule {
  const subject = tagOf(at);
  const common = { id: `a.m${at % 500}.r${at}`, line: 'a', machine: null, card };
  const numeric = { ...common, subject, unit: 'kg/h' as const };
  switch (KINDS[at % KINDS.length]) {
    case 'change':
      return { ...numeric, kind: 'change', amount: 60, withinMs: 5000, deadband: 5 };
    case 'drift': {
      const chart = { kind: 'ewma', weight: 0.2, width: 3 } as const;
      return {
        ...numeric,
        kind: 'drift',
        chart,
        sampleMs: 1000,
        center: 'learned',
        learnSamples: 20,
        deviationMin: 1,
      };
    }
    case 'quality':
      return { ...common, kind: 'quality', subject };
    case 'condition':
      return { ...common, kind: 'condition', code: 'contact', when: [{ subject, above: 80, unit: 'kg/h' }] };
    default:
      return {
        ...numeric,
        kind: 'limit',
        limits: [{ side: 'high', limit: 80, deadband: 5 }],
        onDelayMs: 1000,
      };
  }
}
