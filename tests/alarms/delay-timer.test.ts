import { describe, expect, it } from 'vitest';
import {
  completed,
  judged,
  TIMER_OFF,
  TIMER_ON,
  type DelayTimer,
  type Verdict,
} from '#server/alarms/delay-timer.ts';

const delays = { onDelayMs: 15_000, offDelayMs: 5000 };

/** Runs verdicts through a timer and completes what falls due in between, as the room does. */
function after(start: DelayTimer, ...said: readonly (readonly [number, Verdict])[]): DelayTimer {
  let timer = start;
  for (const [timeMs, verdict] of said) {
    if (timer.dueMs <= timeMs) timer = completed(timer);
    timer = judged(timer, { verdict, timeMs }, delays);
    if (timer.dueMs <= timeMs) timer = completed(timer);
  }
  return timer;
}

describe('judged', () => {
  it.each([
    [
      'turns on when the condition has held exactly the delay',
      [
        [0, 'met'],
        [15_000, 'met'],
      ],
      true,
    ],
    [
      'stays off one millisecond before',
      [
        [0, 'met'],
        [14_999, 'met'],
      ],
      false,
    ],
    [
      'turns on although the value leaves at the instant the delay ends',
      [
        [0, 'met'],
        [15_000, 'unknown'],
      ],
      true,
    ],
    [
      'starts anew after a break',
      [
        [0, 'met'],
        [14_000, 'clear'],
        [15_000, 'met'],
        [29_000, 'met'],
      ],
      false,
    ],
    [
      'counts neither for nor against while nothing is known',
      [
        [0, 'met'],
        [10_000, 'unknown'],
        [60_000, 'met'],
        [64_999, 'met'],
      ],
      false,
    ],
    [
      'goes on with what was left of the delay',
      [
        [0, 'met'],
        [10_000, 'unknown'],
        [60_000, 'met'],
        [65_000, 'met'],
      ],
      true,
    ],
    [
      'forgets the change when the break shows that it has ended',
      [
        [0, 'met'],
        [10_000, 'unknown'],
        [60_000, 'clear'],
        [61_000, 'met'],
        [66_000, 'met'],
      ],
      false,
    ],
  ] as const)('%s', (_name, said, isOn) => {
    expect(after(TIMER_OFF, ...said).isOn).toBe(isOn);
  });

  it('keeps when the change began, for the time an alarm is said to be raised', () => {
    expect(judged(TIMER_OFF, { verdict: 'met', timeMs: 1234 }, delays).sinceMs).toBe(1234);
  });

  it('turns off after the off-delay and not before', () => {
    expect(after(TIMER_ON, [0, 'clear'], [4999, 'clear']).isOn).toBe(true);
    expect(after(TIMER_ON, [0, 'clear'], [5000, 'clear']).isOn).toBe(false);
  });

  it('is the same object when nothing changes, so that idle rules cost nothing', () => {
    expect(judged(TIMER_OFF, { verdict: 'clear', timeMs: 9 }, delays)).toBe(TIMER_OFF);
    expect(judged(TIMER_ON, { verdict: 'met', timeMs: 9 }, delays)).toBe(TIMER_ON);
    expect(judged(TIMER_ON, { verdict: 'unknown', timeMs: 9 }, delays)).toBe(TIMER_ON);
  });
});
