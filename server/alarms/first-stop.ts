import type { Stop } from './alarm-work.ts';

export interface FirstStop {
  /** The stops that nothing else explains, earliest first; one of them when the answer is certain. */
  readonly heads: readonly Stop[];
  /** What settled it: the times alone, or times that were too close and the interlocks of the line. */
  readonly basis: 'times' | 'interlocks';
}

interface Knowledge {
  readonly takes: ReadonlyMap<number, ReadonlySet<number>>;
  /** Two instants that are no further apart may have been the other way round. */
  readonly resolutionMs: number;
}

/**
 * Of several stops that belong together, which came first?
 *
 *     y explains x   when x follows from y by interlock and t(y) <= t(x) + resolution
 *     heads        = the stops that no other explains, no later than the earliest of them + resolution
 *
 * One head is the answer. Several stopped together as far as can be told (a common cause, or chance): they are
 * candidates, and naming one would be a guess. Interlocks in a circle explain each other, and then times decide.
 *
 * Shape    the stops of one cascade -> its heads
 * Units    ms by source time
 * Throws   RangeError when there is no stop
 * Source   definition of this project (DEVELOPERS.md, "first stop")
 *
 * @example destoner at 0, sizer (feeds it) at 110, air screen (feeds the sizer) at 250 ms: the destoner
 */
export function firstStop(stops: readonly Stop[], knowledge: Knowledge): FirstStop {
  if (stops.length === 0) throw new RangeError('FIGURE_INPUT firstStop.stops: got 0, expected >= 1');
  const inOrder = [...stops].sort((a, b) => a.timeMs - b.timeMs || a.slot - b.slot);
  const unexplained = inOrder.filter((stop) => !inOrder.some((other) => explains(other, stop, knowledge)));
  const candidates = unexplained.length > 0 ? unexplained : inOrder;
  const lastMs = (candidates[0]?.timeMs ?? 0) + knowledge.resolutionMs;
  const heads = candidates.filter((stop) => stop.timeMs <= lastMs);
  const isClear = inOrder.every((stop) => stop === heads[0] || stop.timeMs > lastMs);
  return { heads, basis: isClear ? 'times' : 'interlocks' };
}

/** Whether one stop can be the reason for the other. */
export function explains(cause: Stop, stop: Stop, { takes, resolutionMs }: Knowledge): boolean {
  if (cause.slot === stop.slot) return false;
  return takes.get(cause.slot)?.has(stop.slot) === true && cause.timeMs <= stop.timeMs + resolutionMs;
}
