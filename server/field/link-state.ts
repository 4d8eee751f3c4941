import type { LinkStatus } from '../contract/link-status.ts';

/*
 * How the link to one endpoint stands, and what to do next. Every attempt is a new client: the library's own
 * reconnection waits for ever for a frozen server, believes a moved namespace, and can republish without end.
 *
 *            start              opened
 *    idle ----------> opening ----------> live
 *                      |   ^               |
 *        broken, or    |   | retry         |  broken, or
 *        no progress   |   | is due        |  subscription silent, or
 *        for too long  v   |               |  nothing answered for too long
 *                     waiting <------------+
 *
 *    stop, from anywhere ----------> stopped
 *
 * To the outside `opening` and `waiting` are `connecting` until the first attempt has failed, `lost` after that.
 * Events of an attempt that is no longer the present one change nothing.
 */

export type LinkPhase = 'idle' | 'opening' | 'live' | 'waiting' | 'stopped';

export interface LinkState {
  readonly phase: LinkPhase;
  /** Number of the present or last attempt. */
  readonly attempt: number;
  /** When the phase began, or last made progress. */
  readonly sinceMs: number;
  /** Attempts in a row that led to nothing lasting. */
  readonly failures: number;
  readonly retryAtMs: number;
  /** Silence of the subscription that is too long, from the intervals which the plant has granted. */
  readonly silentMsMax: number;
  readonly tickMs: number;
  /** Silence before this is our own fault and not held against the plant. */
  readonly excusedUntilMs: number;
}

export interface LinkLimits {
  /** Longest that connecting may take without a step forward. */
  readonly openingMsMax: number;
  /** Longest that a live link may leave everything unanswered. */
  readonly unansweredMsMax: number;
  readonly retryMsMin: number;
  readonly retryMsMax: number;
  /** A link that held this long starts again with the shortest delay. */
  readonly steadyMs: number;
  /** A tick later than this says that we, not the plant, stood still. */
  readonly stallMs: number;
}

/** Times are monotonic: a link must not break because somebody sets the machine's clock. */
export type LinkEvent =
  | { readonly kind: 'start' }
  | { readonly kind: 'progress'; readonly attempt: number }
  | { readonly kind: 'opened'; readonly attempt: number; readonly silentMsMax: number }
  | { readonly kind: 'broken'; readonly attempt: number; readonly because: string }
  /** `heardMs` by the subscription, `answeredMs` by anything at all. */
  | { readonly kind: 'tick'; readonly heardMs: number; readonly answeredMs: number }
  | { readonly kind: 'stop' };

export type LinkAction =
  | { readonly kind: 'open'; readonly attempt: number }
  | { readonly kind: 'close'; readonly attempt: number }
  | { readonly kind: 'report'; readonly state: LinkStatus['state']; readonly because: string | null };

export type LinkStep = readonly [LinkState, readonly LinkAction[]];

/** When it happens, and by which limits it is judged. */
export interface LinkContext {
  readonly nowMs: number;
  readonly limits: LinkLimits;
}

export const IDLE_LINK: LinkState = {
  phase: 'idle',
  attempt: 0,
  sinceMs: 0,
  failures: 0,
  retryAtMs: 0,
  silentMsMax: Infinity,
  tickMs: 0,
  excusedUntilMs: 0,
};

/** What one event makes of the link. */
export function linkStep(state: LinkState, event: LinkEvent, context: LinkContext): LinkStep {
  if (state.phase === 'stopped' || isStale(state, event)) return [state, []];
  switch (event.kind) {
    case 'start':
      return begun(state, context.nowMs);
    case 'progress':
      return [{ ...state, sinceMs: context.nowMs }, []];
    case 'opened':
      return opened(state, event.silentMsMax, context.nowMs);
    case 'broken':
      return lost(state, event.because, context);
    case 'tick':
      return ticked(state, event, context);
    case 'stop':
      return [
        { ...state, phase: 'stopped' },
        isOpen(state) ? [{ kind: 'close', attempt: state.attempt }] : [],
      ];
  }
}

/** Whether an event comes too late, of an attempt that is over, or at a time when it means nothing. */
function isStale(state: LinkState, event: LinkEvent): boolean {
  switch (event.kind) {
    case 'start':
      return state.phase !== 'idle';
    case 'progress':
    case 'opened':
      return state.phase !== 'opening' || event.attempt !== state.attempt;
    case 'broken':
      return !isOpen(state) || event.attempt !== state.attempt;
    case 'tick':
    case 'stop':
      return false;
  }
}

/** How long the subscription may be silent: two keep-alives and a second, by the intervals the plant granted. */
export function silenceAllowedMs(publishingIntervalMs: number, maxKeepAliveCount: number): number {
  return publishingIntervalMs * maxKeepAliveCount * 2 + 1000;
}

function begun(state: LinkState, nowMs: number): LinkStep {
  const [opening, actions] = retried({ ...state, tickMs: nowMs }, nowMs);
  return [opening, [{ kind: 'report', state: 'connecting', because: null }, ...actions]];
}

function retried(state: LinkState, nowMs: number): LinkStep {
  const attempt = state.attempt + 1;
  return [{ ...state, phase: 'opening', attempt, sinceMs: nowMs }, [{ kind: 'open', attempt }]];
}

function opened(state: LinkState, silentMsMax: number, nowMs: number): LinkStep {
  const live: LinkState = { ...state, phase: 'live', sinceMs: nowMs, silentMsMax, excusedUntilMs: nowMs };
  return [live, [{ kind: 'report', state: 'live', because: null }]];
}

function lost(state: LinkState, because: string, context: LinkContext): LinkStep {
  const { nowMs, limits } = context;
  const wasSteady = state.phase === 'live' && nowMs - state.sinceMs >= limits.steadyMs;
  const failures = wasSteady ? 1 : state.failures + 1;
  const delayMs = Math.min(limits.retryMsMin * 2 ** (failures - 1), limits.retryMsMax);
  return [
    { ...state, phase: 'waiting', sinceMs: nowMs, failures, retryAtMs: nowMs + delayMs },
    [
      { kind: 'close', attempt: state.attempt },
      { kind: 'report', state: 'lost', because },
    ],
  ];
}

function ticked(previous: LinkState, event: LinkEvent & { kind: 'tick' }, context: LinkContext): LinkStep {
  const { nowMs, limits } = context;
  const haveStalled = nowMs - previous.tickMs > limits.stallMs;
  const state: LinkState = {
    ...previous,
    tickMs: nowMs,
    excusedUntilMs: haveStalled ? nowMs : previous.excusedUntilMs,
  };
  if (state.phase === 'waiting') return nowMs >= state.retryAtMs ? retried(state, nowMs) : [state, []];
  const complaint = complaintAbout(state, event, context);
  return complaint === null ? [state, []] : lost(state, complaint, context);
}

function complaintAbout(
  state: LinkState,
  event: LinkEvent & { kind: 'tick' },
  context: LinkContext,
): string | null {
  const { nowMs, limits } = context;
  const sinceMs = (instantMs: number) => nowMs - Math.max(instantMs, state.excusedUntilMs);
  if (state.phase === 'opening' && sinceMs(state.sinceMs) > limits.openingMsMax) {
    return `no answer to connecting within ${seconds(limits.openingMsMax)} s`;
  }
  if (state.phase !== 'live') return null;
  if (sinceMs(event.answeredMs) > limits.unansweredMsMax) {
    return `nothing answered for ${seconds(limits.unansweredMsMax)} s`;
  }
  if (sinceMs(event.heardMs) > state.silentMsMax) {
    return `subscription silent for ${seconds(state.silentMsMax)} s`;
  }
  return null;
}

function isOpen(state: LinkState): boolean {
  return state.phase === 'opening' || state.phase === 'live';
}

function seconds(ms: number): string {
  return (ms / 1000).toFixed(1);
}
