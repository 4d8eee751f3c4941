import { useEffect, useMemo, useRef, useState } from 'react';
import { transitionTitle } from '../../../server/contract/format/alarm-text.ts';
import { recentText } from '../../../server/contract/format/time-text.ts';
import { BelowPanes, usePlacing } from '../../charts/below-panes.tsx';
import { useApp } from '../../live/app-context.ts';
import type { Followed } from '../../live/snapshot-store.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { useNames, useReader, useTimeReader } from '../../live/use-live.ts';
import { PriorityBar } from '../../parts/priority-bar.tsx';
import { clustersOf, type EventCluster, type TimeEvent, type TimeSegment } from './time-events.ts';

interface TimeLaneProps {
  readonly line: string;
  readonly window: Followed<TimeWindow>;
  readonly events: readonly TimeEvent[];
  readonly segments: readonly TimeSegment[];
  readonly onOpen: (events: readonly TimeEvent[]) => void;
  readonly onShow: (segment: TimeSegment) => void;
}

/** Room for one event, so that a finger hits it. */
const EVENT_PX = 28;
const SETTLE_MS = 150;

/** Below the panes: whose shift and which lot it was, what was noted and which alarms were raised. */
export function TimeLane({ line, window, events, segments, onOpen, onShow }: TimeLaneProps) {
  const { texts, clock } = useApp();
  const room = useRef<HTMLDivElement>(null);
  const clusters = useClusters(room, window, events);
  const placed = useMemo(() => [clusters, segments], [clusters, segments]);
  usePlacing(room, window, placed);
  const words = texts.trends.lane;
  return (
    <BelowPanes
      className="time-lane"
      room={room}
      head={
        <ul className="time-lane-names" aria-hidden="true">
          <li>{words.shift}</li>
          <li>{words.lot}</li>
          <li>{words.events}</li>
        </ul>
      }
    >
      {segments.map((segment) => (
        <button
          key={segment.key}
          type="button"
          className={`time-segment time-segment-${segment.kind}`}
          data-from-ms={segment.fromMs}
          data-to-ms={segment.toMs ?? clock.nowMs()}
          title={words.showSegment(words[segment.kind], segment.name)}
          onClick={() => onShow(segment)}
        >
          <span className="unseen">{words.showSegment(words[segment.kind], segment.name)}</span>
          <span aria-hidden="true">{segment.name}</span>
        </button>
      ))}
      {clusters.map((cluster) => (
        <EventButton key={cluster.key} line={line} cluster={cluster} onOpen={onOpen} />
      ))}
    </BelowPanes>
  );
}

interface EventButtonProps {
  readonly line: string;
  readonly cluster: EventCluster;
  readonly onOpen: (events: readonly TimeEvent[]) => void;
}

function EventButton({ line, cluster, onOpen }: EventButtonProps) {
  const { texts, clock } = useApp();
  const time = useTimeReader();
  const titleOf = useEventTitle(line);
  const [first] = cluster.events;
  if (first === undefined) return null;
  const at = recentText(first.timeMs, clock.nowMs(), time);
  const rest = cluster.events.length - 1;
  const label = texts.trends.lane.event(titleOf(first), at, rest);
  return (
    <button
      type="button"
      className={`time-event${first.kind === 'alarm' ? ` priority-${first.alarm.priority}` : ''}`}
      data-from-ms={cluster.timeMs}
      data-event={first.key}
      title={label}
      onClick={() => onOpen(cluster.events)}
    >
      <span className="unseen">{label}</span>
      {first.kind === 'alarm' ? <PriorityBar priority={first.alarm.priority} /> : <MarkSign />}
      {rest > 0 && (
        <span className="time-event-count" aria-hidden="true">
          {cluster.events.length}
        </span>
      )}
    </button>
  );
}

/** A flag on a staff. */
function MarkSign() {
  return (
    <svg className="mark-sign" width="12" height="16" viewBox="0 0 12 16" aria-hidden="true">
      <path d="M2 1v14M2 2h8l-3 3 3 3H2" />
    </svg>
  );
}

/** What an event is called: the alarm's sentence, or what was noted. */
export function useEventTitle(line: string): (event: TimeEvent) => string {
  const names = useNames();
  const reader = useReader(line);
  return (event) => (event.kind === 'mark' ? event.mark.text : transitionTitle(event.alarm, names, reader));
}

/** Gathered anew when the window has come to rest: while it moves, each keeps its place and its company. */
function useClusters(
  room: { readonly current: HTMLDivElement | null },
  window: Followed<TimeWindow>,
  events: readonly TimeEvent[],
): readonly EventCluster[] {
  const [rested, setRested] = useState<{
    readonly fromMs: number;
    readonly toMs: number;
    readonly leastMs: number;
  }>();
  useEffect(() => {
    let timer: number | undefined;
    const rest = () => {
      timer = undefined;
      const { fromMs, toMs } = window.get();
      const spanMs = toMs - fromMs;
      const leastMs = (spanMs / Math.max(1, room.current?.clientWidth ?? 1)) * EVENT_PX;
      // A window that follows the clock is gathered anew only after some pixels of it.
      setRested((before) =>
        before !== undefined &&
        before.leastMs === leastMs &&
        Math.abs(before.fromMs + spanMs / 2 - fromMs) < leastMs
          ? before
          : { fromMs: fromMs - spanMs / 2, toMs: toMs + spanMs / 2, leastMs },
      );
    };
    const soon = () => {
      timer ??= globalThis.window.setTimeout(rest, SETTLE_MS);
    };
    rest();
    const stop = window.subscribe(soon);
    return () => {
      stop();
      globalThis.window.clearTimeout(timer);
    };
  }, [room, window]);
  return useMemo(
    () => (rested === undefined ? [] : clustersOf(events, rested, rested.leastMs)),
    [events, rested],
  );
}
