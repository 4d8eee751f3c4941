import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart } from '#server/alarms/alarm-state.ts';
import { stepAlarms, type AlarmStep } from '#server/alarms/step-alarms.ts';
import type { AlarmConfiguration, AlarmRule } from '#server/contract/alarm-rule.ts';
import type { Frame } from '#server/contract/frame.ts';

const TICK_MS = 250;
const ALARMS = 250;
const START_MS = Date.UTC(2026, 8, 14, 6);
/** Longer than any process is let live: a storm must not end by itself. */
const TICKS = 100_000;

/**
 * Half of 250 contacts turn in each tick: 5,000 transitions in ten seconds, were the ticks taken in their own time.
 * The same storm each time, so that what a killed process left can be held against it.
 */
export function* storm(configuration: AlarmConfiguration): Generator<AlarmStep> {
  const rules = rulesOf(configuration);
  const setup = alarmSetup({ ...configuration, rules: [...rules], firstStop: [], suppressions: [] }, []);
  let state = alarmStateAtStart(setup);
  for (let tick = 1; tick <= TICKS; tick += 1) {
    const step = stepAlarms(setup, state, { frame: frameOf(tick), figures: new Map(), acknowledgements: [] });
    state = step.state;
    yield step;
  }
}

function rulesOf({ cards }: AlarmConfiguration): readonly AlarmRule[] {
  const [card = ''] = Object.keys(cards);
  return Array.from({ length: ALARMS }, (_, at) => ({
    id: `a.storm.contact-${at}`,
    line: 'a',
    machine: null,
    card,
    kind: 'condition' as const,
    code: 'contact' as const,
    when: [{ subject: tagOf(at), is: 'on' as const }],
  }));
}

/** Even contacts turn in even ticks, odd ones in odd ticks. */
function frameOf(tick: number): Frame {
  const endMs = START_MS + tick * TICK_MS;
  const turning = Array.from({ length: ALARMS }, (_, at) => at).filter((at) => at % 2 === tick % 2);
  const readings = turning
    .map((at) => ({
      tag: tagOf(at),
      sourceTimeMs: endMs - (at % 200) - 1,
      arrivalMs: endMs,
      value: ((tick + 1) >> 1) % 2,
      quality: 'good' as const,
    }))
    .toSorted((a, b) => a.sourceTimeMs - b.sourceTimeMs);
  return {
    endMs,
    tickMs: TICK_MS,
    readings,
    latest: new Map(readings.map((reading) => [reading.tag, reading])),
  };
}

function tagOf(at: number): string {
  return `a.storm.tag-${at}`;
}
