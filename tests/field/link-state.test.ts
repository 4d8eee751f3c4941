import { describe, expect, it } from 'vitest';
import {
  IDLE_LINK,
  linkStep,
  silenceAllowedMs,
  type LinkAction,
  type LinkEvent,
  type LinkLimits,
  type LinkState,
} from '#server/field/link-state.ts';

const LIMITS: LinkLimits = {
  openingMsMax: 4000,
  unansweredMsMax: 4000,
  retryMsMin: 500,
  retryMsMax: 2000,
  steadyMs: 10_000,
  stallMs: 1000,
};
const SILENT_MS_MAX = 2500;

/** Plays events, each with its time, and answers with where they lead and what was to be done on the way. */
function play(...events: readonly (readonly [number, LinkEvent])[]): {
  state: LinkState;
  actions: LinkAction[];
} {
  let state = IDLE_LINK;
  const actions: LinkAction[] = [];
  for (const [nowMs, event] of events) {
    const [next, more] = linkStep(state, event, { nowMs, limits: LIMITS });
    state = next;
    actions.push(...more);
  }
  return { state, actions };
}

const start: LinkEvent = { kind: 'start' };
const opened = (attempt: number): LinkEvent => ({ kind: 'opened', attempt, silentMsMax: SILENT_MS_MAX });
const broken = (attempt: number): LinkEvent => ({ kind: 'broken', attempt, because: 'connection lost' });
const tick = (heardMs: number, answeredMs = heardMs): LinkEvent => ({ kind: 'tick', heardMs, answeredMs });

/** Ticks as they come, ten in a second, with nothing heard since `heardMs`. */
function ticks(
  fromMs: number,
  toMs: number,
  heard: (nowMs: number) => LinkEvent,
): (readonly [number, LinkEvent])[] {
  const events: (readonly [number, LinkEvent])[] = [];
  for (let nowMs = fromMs; nowMs <= toMs; nowMs += 100) events.push([nowMs, heard(nowMs)]);
  return events;
}

describe('linkStep', () => {
  it('opens the first attempt when started and says that it is connecting', () => {
    const { state, actions } = play([0, start]);
    expect(state.phase).toBe('opening');
    expect(actions).toEqual([
      { kind: 'report', state: 'connecting', because: null },
      { kind: 'open', attempt: 1 },
    ]);
  });

  it('is live when the attempt has opened', () => {
    const { state, actions } = play([0, start], [100, opened(1)]);
    expect(state.phase).toBe('live');
    expect(actions.at(-1)).toEqual({ kind: 'report', state: 'live', because: null });
  });

  it.each<[string, LinkEvent[]]>([
    ['a second start', [start]],
    ['an opening of an attempt that is over', [opened(0)]],
    ['a break of an attempt that is over', [broken(0)]],
    ['progress of an attempt that is over', [{ kind: 'progress', attempt: 0 }]],
  ])('is not moved by %s', (_, events) => {
    const before = play([0, start], [10, opened(1)]);
    const after = play([0, start], [10, opened(1)], ...events.map((event) => [20, event] as const));
    expect(after).toEqual(before);
  });

  it('closes the broken attempt and reports the reason', () => {
    const { state, actions } = play([0, start], [100, opened(1)], [200, broken(1)]);
    expect(state.phase).toBe('waiting');
    expect(actions.slice(-2)).toEqual([
      { kind: 'close', attempt: 1 },
      { kind: 'report', state: 'lost', because: 'connection lost' },
    ]);
  });

  it('reports one break once, however many events tell of it', () => {
    const once = play([0, start], [100, opened(1)], [200, broken(1)]);
    const often = play([0, start], [100, opened(1)], [200, broken(1)], [201, broken(1)], [202, broken(1)]);
    expect(often).toEqual(once);
  });

  it('tries again after 0.5, 1, 2 and then always 2 s', () => {
    const delays: number[] = [];
    let state = play([0, start]).state;
    for (let nowMs = 0; delays.length < 5; nowMs = state.retryAtMs) {
      state = linkStep(state, broken(state.attempt), { nowMs, limits: LIMITS })[0];
      delays.push(state.retryAtMs - nowMs);
      [state] = linkStep(state, tick(0), { nowMs: state.retryAtMs, limits: LIMITS });
    }
    expect(delays).toEqual([500, 1000, 2000, 2000, 2000]);
  });

  it('does not try again before the delay is over, and then with the next attempt number', () => {
    const early = play([0, start], [0, broken(1)], [499, tick(0)]);
    expect(early.state.phase).toBe('waiting');
    const due = play([0, start], [0, broken(1)], [500, tick(0)]);
    expect(due.actions.at(-1)).toEqual({ kind: 'open', attempt: 2 });
  });

  it('begins again with the shortest delay after a link that held for 10 s, not after one that flutters', () => {
    const flutter = play([0, start], [0, broken(1)], [500, tick(0)], [600, opened(2)], [700, broken(2)]);
    expect(flutter.state.retryAtMs - 700).toBe(1000);
    const steady = play([0, start], [0, broken(1)], [500, tick(0)], [600, opened(2)], [10_600, broken(2)]);
    expect(steady.state.retryAtMs - 10_600).toBe(500);
  });

  it('gives up an attempt that makes no progress for 4 s, and not one that does', () => {
    const stuck = play([0, start], ...ticks(100, 4100, () => tick(0)));
    expect(stuck.actions.at(-1)).toMatchObject({ because: 'no answer to connecting within 4.0 s' });
    const slow = play(
      [0, start],
      ...ticks(100, 3000, () => tick(0)),
      [3000, { kind: 'progress', attempt: 1 }],
      ...ticks(3100, 7000, () => tick(0)),
    );
    expect(slow.state.phase).toBe('opening');
  });

  it('is lost when the subscription is silent for longer than the plant was allowed, and not before', () => {
    const answering = (nowMs: number) => tick(1000, nowMs);
    const quiet = play([0, start], [0, opened(1)], ...ticks(100, 3500, answering));
    expect(quiet.state.phase).toBe('live');
    const silent = play([0, start], [0, opened(1)], ...ticks(100, 3600, answering));
    expect(silent.actions.at(-1)).toMatchObject({ state: 'lost', because: 'subscription silent for 2.5 s' });
  });

  it('is lost when nothing is answered for 4 s, whatever the subscription was allowed', () => {
    const slowPublisher: LinkEvent = { kind: 'opened', attempt: 1, silentMsMax: 60_000 };
    const { actions } = play([0, start], [0, slowPublisher], ...ticks(100, 4200, () => tick(100)));
    expect(actions.at(-1)).toMatchObject({ state: 'lost', because: 'nothing answered for 4.0 s' });
  });

  it('does not blame the plant for a time in which we ourselves stood still', () => {
    const { state } = play([0, start], [0, opened(1)], ...ticks(100, 1000, tick), [60_000, tick(1000)]);
    expect(state.phase).toBe('live');
    const later = ticks(60_100, 62_600, () => tick(1000));
    const after = play([0, start], [0, opened(1)], ...ticks(100, 1000, tick), [60_000, tick(1000)], ...later);
    expect(after.state.phase).toBe('waiting');
  });

  it.each<[string, (readonly [number, LinkEvent])[], LinkAction[]]>([
    ['idle', [], []],
    ['opening', [[0, start]], [{ kind: 'close', attempt: 1 }]],
    [
      'live',
      [
        [0, start],
        [1, opened(1)],
      ],
      [{ kind: 'close', attempt: 1 }],
    ],
    [
      'waiting',
      [
        [0, start],
        [1, broken(1)],
      ],
      [],
    ],
  ])('stops from %s, closing what is open, and then nothing moves it', (_, events, closing) => {
    const before = play(...events).actions.length;
    const { state, actions } = play(
      ...events,
      [5, { kind: 'stop' }],
      [6, start],
      [9000, tick(0)],
      [9001, broken(1)],
    );
    expect(state.phase).toBe('stopped');
    expect(actions.slice(before)).toEqual(closing);
  });
});

describe('silenceAllowedMs', () => {
  it('is two keep-alives and a second: 2.5 s at 250 ms and a count of 3', () => {
    expect(silenceAllowedMs(250, 3)).toBe(2500);
  });
});
