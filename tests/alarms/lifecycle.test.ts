import { describe, expect, it } from 'vitest';
import {
  alarmStateOf,
  isWithheld,
  lifeAfter,
  NORMAL_LIFE,
  type Lifecycle,
  type LifecycleEvent,
} from '#server/alarms/lifecycle.ts';

const active = (standing: Lifecycle['standing']): Lifecycle => ({ ...NORMAL_LIFE, standing, isActive: true });
const quiet = (standing: Lifecycle['standing']): Lifecycle => ({ ...NORMAL_LIFE, standing });

const STATES = {
  normal: NORMAL_LIFE,
  unacknowledged: active('unacknowledged'),
  acknowledged: active('acknowledged'),
  'returned-unacknowledged': quiet('returned-unacknowledged'),
  'latched-unacknowledged': quiet('latched-unacknowledged'),
  'latched-acknowledged': quiet('latched-acknowledged'),
  shelved: { ...NORMAL_LIFE, isShelved: true },
  'suppressed-by-design': { ...NORMAL_LIFE, isSuppressed: true },
  'out-of-service': { ...NORMAL_LIFE, isOutOfService: true },
} as const;
type State = keyof typeof STATES;

const EVENTS: readonly LifecycleEvent[] = [
  'raise',
  'clear',
  'worsen',
  're-alarm',
  'acknowledge',
  'reset',
  'shelve',
  'unshelve',
  'suppress',
  'release',
  'take-out',
  'put-back',
];

/** The state chart of ISA-18.2 (handbook 8.2), every event in every state; a dot changes nothing. */
const CHART: Readonly<Record<State, string>> = {
  //                         raise clear worsen re-alarm ack reset | shelve unshelve suppress release take-out put-back
  normal: 'B . . . . .   G . H . I .',
  unacknowledged: '. D . . C .   G . H . I .',
  acknowledged: '. A B B . .   G . H . I .',
  'returned-unacknowledged': 'B . . . A .   G . H . I .',
  'latched-unacknowledged': 'B . . . F D   G . H . I .',
  'latched-acknowledged': 'B . . . . A   G . H . I .',
  shelved: '. . . . . .   . A . . I .',
  'suppressed-by-design': '. . . . . .   G . . A I .',
  'out-of-service': '. . . . . .   . . . . . A',
};
const LETTERS: Readonly<Record<string, State>> = {
  A: 'normal',
  B: 'unacknowledged',
  C: 'acknowledged',
  D: 'returned-unacknowledged',
  E: 'latched-unacknowledged',
  F: 'latched-acknowledged',
  G: 'shelved',
  H: 'suppressed-by-design',
  I: 'out-of-service',
};
const cases = (Object.keys(CHART) as State[]).flatMap((state) => {
  const letters = CHART[state].split(/\s+/);
  return EVENTS.map((event, at) => {
    const letter = letters[at] ?? '';
    return { state, event, next: letter === '.' ? state : (LETTERS[letter] ?? 'normal') };
  });
});

describe('lifeAfter', () => {
  it('is tried with every event in every state', () => {
    expect(cases).toHaveLength(9 * 12);
  });

  it.each(cases)('goes from $state by $event to $next, per ISA-18.2', ({ state, event, next }) => {
    expect(alarmStateOf(lifeAfter(STATES[state], event, false))).toBe(next);
  });

  it.each([
    ['unacknowledged', 'latched-unacknowledged'],
    ['acknowledged', 'latched-acknowledged'],
  ] as const)('latches from %s when the condition clears and the rule latches, per ISA-18.2', (from, to) => {
    expect(alarmStateOf(lifeAfter(STATES[from], 'clear', true))).toBe(to);
  });

  it.each(['shelve', 'suppress', 'take-out'] as const)(
    'follows the condition in silence after %s',
    (event) => {
      const end = { shelve: 'unshelve', suppress: 'release', 'take-out': 'put-back' } as const;
      const withheld = lifeAfter(STATES.acknowledged, event, false);
      expect(isWithheld(withheld)).toBe(true);
      expect(alarmStateOf(lifeAfter(withheld, end[event], false))).toBe('unacknowledged');
      const cleared = lifeAfter(withheld, 'clear', false);
      expect(alarmStateOf(lifeAfter(cleared, end[event], false))).toBe('normal');
      const again = lifeAfter(cleared, 'raise', false);
      expect(alarmStateOf(lifeAfter(again, end[event], false))).toBe('unacknowledged');
    },
  );

  it('stays withheld until the last reason has gone, and shows out of service before shelved before suppressed', () => {
    const all = (['suppress', 'shelve', 'take-out'] as const).reduce<Lifecycle>(
      (life, event) => lifeAfter(life, event, false),
      STATES.unacknowledged,
    );
    const shown = ['put-back', 'unshelve', 'release'] as const;
    let life = all;
    const states = [alarmStateOf(life)];
    for (const event of shown) states.push(alarmStateOf((life = lifeAfter(life, event, false))));
    expect(states).toEqual(['out-of-service', 'shelved', 'suppressed-by-design', 'unacknowledged']);
  });

  it('is the same object when an event means nothing, so that nothing is journalled', () => {
    expect(lifeAfter(STATES.normal, 'acknowledge', false)).toBe(STATES.normal);
    expect(lifeAfter(STATES.unacknowledged, 'raise', false)).toBe(STATES.unacknowledged);
    for (const [state, event] of [
      ['shelved', 'shelve'],
      ['suppressed-by-design', 'suppress'],
      ['out-of-service', 'take-out'],
      ['shelved', 'put-back'],
    ] as const)
      expect(lifeAfter(STATES[state], event, false)).toBe(STATES[state]);
  });
});
