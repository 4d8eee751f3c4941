import type { AlarmState } from '../contract/alarm-message.ts';

/**
 * The life of one alarm, after the state chart of ISA-18.2 / IEC 62682 (its letters in brackets).
 *
 *                     raise                        acknowledge
 *     normal (A) ---------------> unacknowledged (B) ---------> acknowledged (C)
 *       ^  ^                        |  ^    ^  ^                    |    |
 *       |  |                  clear |  |    |  +--worsen, re-alarm--+    |
 *       |  |      acknowledge       v  | raise                           |
 *       |  +----- returned-unacknowledged (D)                            |
 *       +-------------------------- clear -------------------------------+
 *
 *     A latching alarm does not return by itself; raise leads back to B from both:
 *     B --clear--> latched-unacknowledged (E) --acknowledge--> latched-acknowledged (F) --reset--> A
 *     E --reset--> D (the latch is open, nobody has acknowledged)          C --clear--> F
 *
 *     Withheld, from any of A to F, with the condition still followed in silence:
 *     --shelve--> shelved (G)   --suppress--> suppressed-by-design (H)   --take-out--> out-of-service (I)
 *     When the last of them ends: B if the condition is there, else A. Several can hold at once, as in OPC UA
 *     Part 9; what is shown is I before G before H.
 */
export interface Lifecycle {
  readonly standing: Standing;
  /** Whether the condition is there, whatever people have done about it. */
  readonly isActive: boolean;
  readonly isShelved: boolean;
  readonly isSuppressed: boolean;
  readonly isOutOfService: boolean;
}

type Standing = Exclude<AlarmState, 'shelved' | 'suppressed-by-design' | 'out-of-service'>;

export type LifecycleEvent =
  | 'raise'
  | 'clear'
  | 'worsen'
  | 're-alarm'
  | 'acknowledge'
  | 'reset'
  | 'shelve'
  | 'unshelve'
  | 'suppress'
  | 'release'
  | 'take-out'
  | 'put-back';

export const NORMAL_LIFE: Lifecycle = {
  standing: 'normal',
  isActive: false,
  isShelved: false,
  isSuppressed: false,
  isOutOfService: false,
};

type Moves = Readonly<Record<Standing, Partial<Record<LifecycleEvent, Standing>>>>;

const MOVES: Moves = {
  normal: { raise: 'unacknowledged' },
  unacknowledged: { acknowledge: 'acknowledged', clear: 'returned-unacknowledged' },
  acknowledged: { clear: 'normal', worsen: 'unacknowledged', 're-alarm': 'unacknowledged' },
  'returned-unacknowledged': { raise: 'unacknowledged', acknowledge: 'normal' },
  'latched-unacknowledged': {
    raise: 'unacknowledged',
    acknowledge: 'latched-acknowledged',
    reset: 'returned-unacknowledged',
  },
  'latched-acknowledged': { raise: 'unacknowledged', reset: 'normal' },
};

const LATCHING_MOVES: Moves = {
  ...MOVES,
  unacknowledged: { ...MOVES.unacknowledged, clear: 'latched-unacknowledged' },
  acknowledged: { ...MOVES.acknowledged, clear: 'latched-acknowledged' },
};

const WITHHOLDING: Partial<Record<LifecycleEvent, Partial<Lifecycle>>> = {
  shelve: { isShelved: true },
  unshelve: { isShelved: false },
  suppress: { isSuppressed: true },
  release: { isSuppressed: false },
  'take-out': { isOutOfService: true },
  'put-back': { isOutOfService: false },
};

/** The one state that is shown and journalled. */
export function alarmStateOf(life: Lifecycle): AlarmState {
  if (life.isOutOfService) return 'out-of-service';
  if (life.isShelved) return 'shelved';
  if (life.isSuppressed) return 'suppressed-by-design';
  return life.standing;
}

/** The life after an event; an event that means nothing in this state changes nothing. */
export function lifeAfter(life: Lifecycle, event: LifecycleEvent, isLatching: boolean): Lifecycle {
  const withholding = WITHHOLDING[event];
  if (withholding !== undefined) return afterWithholding(life, { ...life, ...withholding });

  const isActive = event === 'raise' || (life.isActive && event !== 'clear');
  if (isWithheld(life)) return isActive === life.isActive ? life : { ...life, isActive };
  const standing = (isLatching ? LATCHING_MOVES : MOVES)[life.standing][event];
  if (standing === undefined && isActive === life.isActive) return life;
  return { ...life, isActive, standing: standing ?? life.standing };
}

export function isWithheld(life: Lifecycle): boolean {
  return life.isShelved || life.isSuppressed || life.isOutOfService;
}

function isWithheldAlike(one: Lifecycle, other: Lifecycle): boolean {
  return (
    one.isShelved === other.isShelved &&
    one.isSuppressed === other.isSuppressed &&
    one.isOutOfService === other.isOutOfService
  );
}

function afterWithholding(before: Lifecycle, after: Lifecycle): Lifecycle {
  if (isWithheldAlike(before, after)) return before;
  if (isWithheld(after)) return { ...after, standing: 'normal' };
  if (!isWithheld(before)) return before;
  return { ...after, standing: after.isActive ? 'unacknowledged' : 'normal' };
}
