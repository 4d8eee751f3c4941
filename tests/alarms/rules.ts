import type { AlarmConfiguration, AlarmRule, ResponseCard } from '#server/contract/alarm-rule.ts';

type Of<Kind extends AlarmRule['kind']> = Extract<AlarmRule, { kind: Kind }>;

function card(severity: ResponseCard['severity'], respondWithinMs: number): ResponseCard {
  return { causes: ['a cause'], consequence: 'what follows', severity, actions: ['act'], respondWithinMs };
}

const MINUTE_MS = 60_000;

/** A configuration around some rules, with a card for each priority, named by it. */
export function configurationOf(
  rules: readonly AlarmRule[],
  more: Partial<AlarmConfiguration> = {},
): AlarmConfiguration {
  return {
    priorities: [
      { withinMs: 3 * MINUTE_MS, minor: 'medium', major: 'high', severe: 'critical' },
      { withinMs: 10 * MINUTE_MS, minor: 'low', major: 'high', severe: 'critical' },
      { withinMs: 30 * MINUTE_MS, minor: 'low', major: 'medium', severe: 'high' },
    ],
    cards: {
      critical: card('severe', MINUTE_MS),
      high: card('major', 10 * MINUTE_MS),
      medium: card('major', 30 * MINUTE_MS),
      low: card('minor', 60 * MINUTE_MS),
    },
    firstStop: [],
    suppressions: [],
    rules: [...rules],
    ...more,
  };
}

export const TEMPERATURE = 'a.dryer.air-temperature';
export const HOT = 'a.dryer.hot';

/** One high limit at 80 with deadband 5, as in the deadband sequence of the handbook. */
export function hotRule(more: Partial<Of<'limit'>> = {}): Of<'limit'> {
  return {
    id: HOT,
    line: 'a',
    machine: 'dryer',
    card: 'high',
    kind: 'limit',
    subject: TEMPERATURE,
    unit: 'degC',
    limits: [{ side: 'high', limit: 80, deadband: 5 }],
    ...more,
  };
}

export const DOSE = 'a.treater.dose';
export const DOSE_OFF = 'a.treater.dose-off-target';

export function doseRule(more: Partial<Of<'deviation'>> = {}): Of<'deviation'> {
  return {
    id: DOSE_OFF,
    line: 'a',
    machine: 'treater',
    card: 'high',
    kind: 'deviation',
    subject: DOSE,
    unit: 'mL/bu',
    allowed: { from: 'target', ratio: 0.05, deadbandRatio: 0.01 },
    ...more,
  };
}

/** A run-contact rule on a machine's own drive, as `a.<machine>.stopped` on `a.<machine>.running`. */
export function stopRule(machine: string, more: Partial<Of<'run-contact'>> = {}): Of<'run-contact'> {
  return {
    id: `a.${machine}.stopped`,
    line: 'a',
    machine,
    card: 'high',
    kind: 'run-contact',
    subject: `a.${machine}.running`,
    ...more,
  };
}

export function conditionRule(
  more: Partial<Of<'condition'>> & Pick<Of<'condition'>, 'id' | 'when'>,
): Of<'condition'> {
  return { line: 'a', machine: null, card: 'critical', kind: 'condition', code: 'contact', ...more };
}
