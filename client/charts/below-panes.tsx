import { useEffect, type ReactNode, type RefObject } from 'react';
import type { Followed } from '../live/snapshot-store.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { forgetFrame, onNextFrame } from './next-frame.ts';

interface BelowPanesProps {
  readonly className: string;
  readonly head: ReactNode;
  readonly children: ReactNode;
  /** The element that is exactly as wide as the plots above it. */
  readonly room?: RefObject<HTMLDivElement | null>;
}

/** A strip below the panes whose places stand below the same times of the plots. */
export function BelowPanes({ className, head, children, room }: BelowPanesProps) {
  return (
    <div className={`below-panes ${className}`}>
      <div className="below-panes-head">{head}</div>
      <div ref={room} className="below-panes-room">
        {children}
      </div>
    </div>
  );
}

/**
 * Puts everything with a `data-from-ms` in the room where its time stands, and again whenever the window moves: without
 * rendering, because a window moves sixty times a second.
 */
export function usePlacing(
  room: RefObject<HTMLDivElement | null>,
  window: Followed<TimeWindow>,
  placed: unknown,
): void {
  useEffect(() => {
    // Asked of the browser when it changes: asking in each frame makes it lay the page out in each frame.
    let widthPx = room.current?.clientWidth ?? 0;
    const place = () => {
      if (room.current !== null) placeAll(room.current, widthPx, window.get());
    };
    const soon = () => onNextFrame(place);
    place();
    const stop = window.subscribe(soon);
    const watching = new ResizeObserver(() => {
      widthPx = room.current?.clientWidth ?? 0;
      soon();
    });
    if (room.current !== null) watching.observe(room.current);
    return () => {
      stop();
      watching.disconnect();
      forgetFrame(place);
    };
  }, [room, window, placed]);
}

function placeAll(room: HTMLElement, width: number, { fromMs, toMs }: TimeWindow): void {
  const perMs = width / (toMs - fromMs);
  for (const element of room.querySelectorAll<HTMLElement>('[data-from-ms]')) {
    const startMs = Number(element.dataset['fromMs']);
    const endMs = element.dataset['toMs'] === undefined ? null : Number(element.dataset['toMs']);
    const left = (startMs - fromMs) * perMs;
    const isStretch = endMs !== null;
    const [from, to] = [Math.max(-1, left), Math.min(width + 1, ((endMs ?? startMs) - fromMs) * perMs)];
    element.hidden = isStretch ? to - from < 1 : left < 0 || left > width;
    if (element.hidden) continue;
    element.style.transform = `translateX(${(isStretch ? from : left).toFixed(1)}px)`;
    if (isStretch) element.style.width = `${(to - from).toFixed(1)}px`;
  }
}
