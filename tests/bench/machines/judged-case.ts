import type { SignalDeviation } from '#server/contract/machine-health.ts';
import { failsMs, reachesMs, type LimitAsked, type PlayedDecline } from './declines.ts';
import type { DemoMachines } from './demo-machines.ts';
import { HEALTHY_MS, type PlayedLife } from './play-life.ts';
import type { SeenFinding, Watcher } from './watcher.ts';

/** One decline as it was seen, with what the simulator knows of it. */
export interface JudgedCase {
  readonly kind: PlayedDecline['kind'];
  readonly everything: Detection;
  readonly oneCurrent: Detection;
  readonly byHand: Detection;
  /** Null when the limit was never passed before the failure. */
  readonly fixedDelayMs: number | null;
  readonly forecasts: readonly JudgedForecast[];
}

export interface Detection {
  /** From the beginning of the decline; null when it was not found before the failure. */
  readonly delayMs: number | null;
  readonly leadMs: number | null;
  /** Whether the first of the causes was the right one, alone at the top: when it was found, and a day later. */
  readonly isRightAtOnce: boolean;
  readonly isRightNextDay: boolean;
}

export interface JudgedForecast {
  readonly isWithin: boolean;
  /** Null when the range has no end. */
  readonly widthMs: number | null;
  readonly leftMs: number;
}

const DAY_MS = 86_400_000;

export function judgedCase(
  played: PlayedDecline,
  life: PlayedLife,
  at: { readonly demo: DemoMachines; readonly fixedWidth: number },
): JudgedCase {
  const beganMs = played.decline.beginsS * 1000;
  const handMs = life.byHand.foundMs(played.machine, HEALTHY_MS);
  const fixedMs = firstBetween(life.fixed.openings(played.machine, at.fixedWidth), played);
  return {
    kind: played.kind,
    everything: detection(life.everything, played),
    oneCurrent: detection(life.oneCurrent, played),
    // A hand reading shows one signal: bearing and rotor cannot be told apart, so no cause is named.
    byHand: { ...timed(handMs === null ? null : firstBetween([handMs], played), played), ...NOT_NAMED },
    fixedDelayMs: fixedMs === null ? null : fixedMs - beganMs,
    forecasts: judgedForecasts(life.everything.seen(played.machine), played, at.demo),
  };
}

const NOT_NAMED = { isRightAtOnce: false, isRightNextDay: false };

function firstBetween(times: readonly number[], played: PlayedDecline): number | null {
  return times.find((time) => time >= played.decline.beginsS * 1000 && time < failsMs(played)) ?? null;
}

function timed(foundMs: number | null, played: PlayedDecline): Pick<Detection, 'delayMs' | 'leadMs'> {
  if (foundMs === null) return { delayMs: null, leadMs: null };
  return { delayMs: foundMs - played.decline.beginsS * 1000, leadMs: failsMs(played) - foundMs };
}

function detection(watcher: Watcher, played: PlayedDecline): Detection {
  const foundMs = firstBetween(watcher.openings(played.machine), played);
  if (foundMs === null) return { ...timed(null, played), ...NOT_NAMED };
  const seen = watcher.seen(played.machine).filter(({ timeMs }) => timeMs < failsMs(played));
  const atOnce = seen.find(({ timeMs }) => timeMs >= foundMs);
  const nextDay = seen.findLast(({ timeMs }) => timeMs <= foundMs + 1.1 * DAY_MS);
  return {
    ...timed(foundMs, played),
    isRightAtOnce: isNamed(atOnce, played.cause),
    isRightNextDay: isNamed(nextDay, played.cause),
  };
}

/** The right cause, with no other as good. */
function isNamed(seen: SeenFinding | undefined, cause: string): boolean {
  const [first, second] = seen?.finding.causes ?? [];
  return first !== undefined && first.cause === cause && first.score > (second?.score ?? -Infinity);
}

/** What was forecast in the last half of the life up to the limit, beside when the limit was truly reached. */
function judgedForecasts(
  seen: readonly SeenFinding[],
  played: PlayedDecline,
  demo: DemoMachines,
): readonly JudgedForecast[] {
  const beganMs = played.decline.beginsS * 1000;
  const known = new Map<string, number>();
  return seen.flatMap(({ timeMs, finding }) => {
    const { due } = finding;
    const deviation = finding.deviations.find((own) => own.due === due);
    if (due === null || deviation === undefined) return [];
    const key = `${deviation.signal} ${deviation.direction}`;
    const truthMs = known.get(key) ?? reachesMs(played, limitAsked(deviation, played.machine, demo));
    known.set(key, truthMs);
    const isLastHalf = timeMs >= (beganMs + truthMs) / 2 && timeMs < Math.min(truthMs, failsMs(played));
    // A limit that only lies beyond the failure is not asked: nothing says when it would have been reached.
    if (!isLastHalf || truthMs === Infinity) return [];
    const isWithin = due.earliestMs <= truthMs && (due.latestMs ?? Infinity) >= truthMs;
    const widthMs = due.latestMs === null ? null : due.latestMs - due.earliestMs;
    return [{ isWithin, widthMs, leftMs: truthMs - timeMs }];
  });
}

function limitAsked(deviation: SignalDeviation, machine: string, demo: DemoMachines): LimitAsked {
  const watched = demo.machines.find(({ plan }) => plan.machine === machine);
  const { signal, residual, limit } = deviation;
  const nodeOf = (name: string) => demo.nodeOf.get(watched?.tags.get(name) ?? '') ?? '';
  const [name, over] = signal === 'belt-ratio' ? ['driven-speed', 'motor-speed'] : [signal, null];
  const node = signal === 'current-unbalance' ? nodeOf('motor-current-l1') : nodeOf(name);
  const overNode =
    signal === 'current-unbalance' ? nodeOf('motor-current') : over === null ? null : nodeOf(over);
  return { node, overNode, factor: demo.factorOf.get(node) ?? 1, residual, limit: limit ?? 0 };
}
