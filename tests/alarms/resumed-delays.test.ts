import { describe, expect, it } from 'vitest';
import { alarmStateAtStart, standingAlarms } from '#server/alarms/alarm-state.ts';
import { newReplay, playTick } from '#server/alarms/replayed-alarms.ts';
import { withResumedDelays } from '#server/alarms/resumed-delays.ts';
import type { AlarmRule } from '#server/contract/alarm-rule.ts';
import type { Reading } from '#server/contract/reading.ts';
import { reading } from '#tests/line/demo-readings.ts';
import { chainGraph, CLEANING, settings, stopRules, TREATING } from './line.ts';
import { configurationOf } from './rules.ts';

const T = 100_000;
const S = 1000;
const configuration = (rules: readonly AlarmRule[]) => configurationOf(rules, { firstStop: [settings()] });
const MACHINES = [...CLEANING, ...TREATING];
const running = (timeMs: number) => MACHINES.map((machine) => reading(`a.${machine}.running`, timeMs, 1));
const stopped = (machine: string, timeMs: number) => reading(`a.${machine}.running`, timeMs, 0);

/** A server that was killed with nothing journalled, after it had kept these readings. */
function killedAfter(kept: readonly Reading[], stoppedMs: number) {
  const run = newReplay(configuration(stopRules()), [chainGraph()]);
  play(run, kept, stoppedMs);
  const restored = alarmStateAtStart(run.setup);
  const again = newReplay(configuration(stopRules()), [chainGraph()]);
  again.state = withResumedDelays(again.setup, { restored, shadow: run.state, stoppedMs });
  return again;
}

function play(run: ReturnType<typeof newReplay>, readings: readonly Reading[], endMs: number): void {
  const latest = new Map(readings.map((one) => [one.tag, one]));
  const frame = { endMs, tickMs: 250, readings: readings.toSorted(inTime), latest };
  playTick(run, { frame, figures: new Map(), restarts: [] });
}

function inTime(a: Reading, b: Reading): number {
  return a.sourceTimeMs - b.sourceTimeMs;
}

describe('stops that were seen and not yet put in order when the server was killed', () => {
  it('are put in order after the restart, by the times at which they came', () => {
    const run = killedAfter([...running(0), stopped('destoner', T)], T + 30);
    // What the plant says to whoever connects: how each contact stands, and since when.
    const feeders = [
      'elevator-2',
      'sizer',
      'length-grader',
      'aspirator',
      'air-screen',
      'scalper',
      'elevator-1',
      'intake',
    ];
    const since = feeders.map((machine, index) => stopped(machine, T + 110 * (index + 1)));
    play(
      run,
      [
        stopped('destoner', T),
        ...since,
        ...['gravity-table', ...TREATING].map((machine) => reading(`a.${machine}.running`, 0, 1)),
      ],
      T + 5 * S,
    );
    play(run, [], T + 6 * S);
    const asked = run.transitions.filter(({ to }) => to === 'unacknowledged');
    expect(asked.map(({ alarm }) => alarm)).toEqual(['a.destoner.stopped']);
    const [first, ...followers] = standingAlarms(run.setup, run.state).toSorted(
      (a, b) => a.raisedMs - b.raisedMs,
    );
    expect(first).toMatchObject({ code: 'stopped-first', raisedMs: T, state: 'unacknowledged' });
    expect(followers.map(({ machine, state }) => [machine, state])).toEqual(
      feeders.map((machine) => [machine, 'suppressed-by-design']),
    );
  });

  it('are not told when the machine runs again', () => {
    const run = killedAfter([...running(0), stopped('destoner', T)], T + 30);
    play(run, running(T + 2 * S), T + 5 * S);
    play(run, [], T + 6 * S);
    expect(run.transitions).toEqual([]);
  });
});

describe('withResumedDelays', () => {
  it('takes over no alarm: what stands is what was journalled', () => {
    const run = killedAfter([...running(0), stopped('bagger', T)], T + 5 * S);
    expect(standingAlarms(run.setup, run.state)).toEqual([]);
  });

  it('leaves a plant in which nothing was under way as it was', () => {
    const run = killedAfter(running(0), 5 * S);
    play(run, running(10 * S), 20 * S);
    expect([run.transitions, standingAlarms(run.setup, run.state)]).toEqual([[], []]);
  });
});
