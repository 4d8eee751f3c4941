import type { AlarmConfiguration, AlarmRule } from '#server/contract/alarm-rule.ts';
import type { UnitCode } from '#server/contract/unit-code.ts';

type NumberRule = Extract<AlarmRule, { readonly unit: UnitCode }>;

/** How long a limit must be exceeded: the starting values of ISA-18.2 / EEMUA 191 as rules of alarms.yaml use them, or not at all. */
export type OnDelays = 'starting-values' | 'none';

/** A number that both kinds of rules watch, and when. */
export interface WatchedNumber {
  readonly subject: string;
  readonly rule: NumberRule;
}

/** How far a number went each way in a run in which nothing was wrong, beyond delays of 0 s and of its starting value. */
export interface Extremes {
  readonly high: number;
  readonly low: number;
}

const TEMPERATURES_AND_LEVELS: readonly UnitCode[] = ['degC', 'kg'];
/** Of half the distance between the limits. */
const DEADBAND_SHARE = 0.1;
const EULER = 0.577_215_664_9;

/** Every number that a rule judges, once; tanks aside, which are drawn down on purpose and keep their rule. */
export function watchedNumbers({ rules }: AlarmConfiguration): readonly WatchedNumber[] {
  const found = new Map<string, WatchedNumber>();
  for (const rule of rules) {
    if (!('unit' in rule) || isTank(rule) || found.has(rule.subject)) continue;
    found.set(rule.subject, { subject: rule.subject, rule });
  }
  return [...found.values()];
}

export function onDelayS({ rule }: WatchedNumber, delays: OnDelays): number {
  if (delays === 'none') return 0;
  return TEMPERATURES_AND_LEVELS.includes(rule.unit) && rule.subject !== 'a.bagger.bag-mass' ? 60 : 15;
}

/**
 * The same plant with plain fixed limits: each number has a high and a low one, contacts and tanks keep their rules.
 *
 *     limit = level that a run of the tuning exceeds with probability p = rate / number of limits   (Gumbel, by moments)
 */
export function fixedConfiguration(
  configuration: AlarmConfiguration,
  tuning: {
    readonly extremes: ReadonlyMap<string, readonly Extremes[]>;
    readonly annunciationsARun: number;
    readonly delays: OnDelays;
  },
): AlarmConfiguration {
  const numbers = watchedNumbers(configuration);
  const probability = Math.min(0.5, tuning.annunciationsARun / (2 * numbers.length));
  const kept = configuration.rules.filter((rule) => !('unit' in rule) || isTank(rule));
  const fixed = numbers.map((number): AlarmRule => {
    const runs = tuning.extremes.get(number.subject) ?? [];
    const high = levelOf(
      runs.map((run) => run.high),
      probability,
    );
    const low = -levelOf(
      runs.map((run) => -run.low),
      probability,
    );
    const deadband = (DEADBAND_SHARE * (high - low)) / 2;
    const { line, machine, card, subject, unit, armed } = number.rule;
    return {
      id: `${subject}-fixed`,
      line,
      machine,
      card,
      kind: 'limit',
      subject,
      unit,
      limits: [
        { side: 'high', limit: high, deadband },
        { side: 'low', limit: low, deadband },
      ],
      onDelayMs: 1000 * onDelayS(number, tuning.delays),
      ...(armed === undefined ? {} : { armed }),
    };
  });
  return { ...configuration, rules: [...kept, ...fixed] };
}

function isTank({ id }: AlarmRule): boolean {
  return id.startsWith('a.treater.tank-');
}

/** The level that the greatest value of a run exceeds with this probability. */
function levelOf(greatest: readonly number[], probability: number): number {
  const mean = greatest.reduce((sum, value) => sum + value, 0) / greatest.length;
  const variance = greatest.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (greatest.length - 1);
  const scale = Math.sqrt(6 * variance) / Math.PI;
  return mean - EULER * scale - scale * Math.log(-Math.log(1 - probability));
}
