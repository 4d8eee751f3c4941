import { useMemo, useRef, type KeyboardEvent, type ReactNode } from 'react';
import { useChartGestures } from '../../charts/use-chart-gestures.ts';
import { useApp } from '../../live/app-context.ts';
import { backToLive, heldShare, moved, zoomed } from '../../live/trend-view.ts';
import type { TrendDesk } from './use-trend-desk.ts';

interface TrendRoomProps {
  readonly desk: TrendDesk;
  readonly onMeasure: () => void;
  readonly children: ReactNode;
}

const KEY_ZOOM = 1.5;
const KEY_MOVE = 0.1;
const PAGE_MOVE = 0.9;

/** Where wheel, fingers and keys move and zoom what is shown. */
export function TrendRoom({ desk, onMeasure, children }: TrendRoomProps) {
  const { texts } = useApp();
  const { setView } = desk;
  const room = useRef<HTMLDivElement>(null);
  const gestures = useMemo(
    () => ({
      onZoom: (factor: number, atShare: number) =>
        setView((view, nowMs) => zoomed(view, { factor, atShare, nowMs })),
      onMove: (byShare: number) => setView((view, nowMs) => moved(view, byShare, nowMs)),
    }),
    [setView],
  );
  useChartGestures(room, gestures);
  return (
    <div
      ref={room}
      className="trends-room"
      role="group"
      tabIndex={0}
      aria-label={texts.trends.title}
      aria-describedby="trends-keys"
      onKeyDown={(event) => onKey(event, desk, onMeasure)}
    >
      {children}
    </div>
  );
}

function onKey(event: KeyboardEvent<HTMLElement>, { setView }: TrendDesk, onMeasure: () => void): void {
  if (event.target !== event.currentTarget || event.ctrlKey || event.metaKey || event.altKey) return;
  const step = event.shiftKey ? 5 * KEY_MOVE : KEY_MOVE;
  const move = (byShare: number) => setView((view, nowMs) => moved(view, byShare, nowMs));
  const zoom = (factor: number) =>
    setView((view, nowMs) => zoomed(view, { factor, atShare: heldShare(view), nowMs }));
  const actions: Readonly<Record<string, () => void>> = {
    ArrowLeft: () => move(-step),
    ArrowRight: () => move(step),
    PageUp: () => move(-PAGE_MOVE),
    PageDown: () => move(PAGE_MOVE),
    '+': () => zoom(1 / KEY_ZOOM),
    '=': () => zoom(1 / KEY_ZOOM),
    '-': () => zoom(KEY_ZOOM),
    End: () => setView(backToLive),
    m: onMeasure,
  };
  const action = actions[event.key];
  if (action === undefined) return;
  event.preventDefault();
  action();
}
