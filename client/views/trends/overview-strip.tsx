import { useEffect, useMemo, useRef, type KeyboardEvent, type PointerEvent, type RefObject } from 'react';
import { dayText, stampText } from '../../../server/contract/format/time-text.ts';
import { BelowPanes } from '../../charts/below-panes.tsx';
import { forgetFrame, onNextFrame } from '../../charts/next-frame.ts';
import { pathText } from '../../charts/path-text.ts';
import { envelopeAround, lineThrough } from '../../charts/trace-path.ts';
import { valueRange } from '../../charts/value-range.ts';
import { useApp } from '../../live/app-context.ts';
import type { Followed } from '../../live/snapshot-store.ts';
import type { TrendColumns } from '../../live/trend-columns.ts';
import { picked, type TimeWindow, type TrendView } from '../../live/trend-view.ts';
import { useNames, useTimeReader } from '../../live/use-live.ts';
import { useOverview, type Overview } from './use-overview.ts';

interface OverviewStripProps {
  readonly series: string;
  readonly window: Followed<TimeWindow>;
  readonly setView: (next: (view: TrendView, nowMs: number) => TrendView) => void;
}

const WIDTH = 1000;
const HEIGHT = 34;
/** A window of half an hour in a year is thinner than a hair; its handle stays this wide. */
const HANDLE_PX_MIN = 8;
const EDGE_PX = 7;
const KEY_SHARE = 0.5;

/** All that the history has of the first trace, and a window on it that can be moved and widened. */
export function OverviewStrip({ series, window, setView }: OverviewStripProps) {
  const { texts } = useApp();
  const time = useTimeReader();
  const name = useNames().subject(series);
  const overview = useOverview(series);
  const room = useRef<HTMLDivElement>(null);
  const handle = useRef<HTMLDivElement>(null);
  useHandle(handle, room, { window, overview });
  const grip = useGrip(room, { window, overview, setView });
  const words = texts.trends.overview;
  return (
    <BelowPanes
      className="overview"
      room={room}
      head={
        <>
          <span>{words.title}</span>
          <span className="soft">{overview === null ? '' : words.since(dayText(overview.fromMs, time))}</span>
        </>
      }
    >
      <div className="overview-touch" {...grip}>
        {overview !== null && <Course overview={overview} />}
        <div
          ref={handle}
          className="overview-handle"
          role="slider"
          tabIndex={0}
          aria-label={words.label(name)}
          aria-valuemin={0}
          aria-valuemax={100}
          aria-valuenow={100}
          onKeyDown={(event) => onKey(event, setView)}
        />
      </div>
    </BelowPanes>
  );
}

function Course({ overview }: { readonly overview: Overview }) {
  const { envelope, line } = useMemo(() => coursePaths(overview.columns, overview), [overview]);
  return (
    <svg
      className="overview-course"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <path className="overview-envelope" d={envelope} />
      <path className="overview-line" d={line} />
    </svg>
  );
}

function coursePaths(columns: TrendColumns, { fromMs, toMs }: TimeWindow) {
  const [low, high] = valueRange([columns], []);
  const perMs = WIDTH / (toMs - fromMs);
  const perUnit = -HEIGHT / (high - low);
  const places = { perMs, xAtZero: -fromMs * perMs, perUnit, yAtZero: HEIGHT - low * perUnit };
  const span = { from: 0, to: columns.timeMs.length - 1 };
  const [envelope, line] = [pathText(), pathText()];
  envelopeAround(envelope, columns, { span, places });
  lineThrough(line, columns, { span, places, isStep: false });
  return { envelope: envelope.text(), line: line.text() };
}

interface Looked {
  readonly window: Followed<TimeWindow>;
  readonly overview: Overview | null;
}

/** Keeps the handle over the window that the panes show. */
function useHandle(
  handle: RefObject<HTMLDivElement | null>,
  room: RefObject<HTMLDivElement | null>,
  { window, overview }: Looked,
): void {
  const time = useTimeReader();
  // Asked of the browser when it changes: asking in each frame makes it lay the page out in each frame.
  const widthPx = useRef(0);
  useEffect(() => {
    widthPx.current = room.current?.clientWidth ?? 0;
    const place = () => {
      if (handle.current === null || overview === null) return;
      placeHandle(handle.current, widthPx.current, { shown: window.get(), all: overview });
      const { fromMs, toMs } = window.get();
      handle.current.setAttribute('aria-valuetext', `${stampText(fromMs, time)} – ${stampText(toMs, time)}`);
    };
    const soon = () => onNextFrame(place);
    place();
    const stop = window.subscribe(soon);
    const watching = new ResizeObserver(() => {
      widthPx.current = room.current?.clientWidth ?? 0;
      soon();
    });
    if (room.current !== null) watching.observe(room.current);
    return () => {
      stop();
      watching.disconnect();
      forgetFrame(place);
    };
  }, [handle, room, window, overview, time]);
}

function placeHandle(
  grip: HTMLElement,
  width: number,
  { shown, all }: { readonly shown: TimeWindow; readonly all: TimeWindow },
): void {
  const perMs = width / (all.toMs - all.fromMs);
  const size = Math.max(HANDLE_PX_MIN, (shown.toMs - shown.fromMs) * perMs);
  const left = Math.min(Math.max((shown.fromMs - all.fromMs) * perMs, 0), width - size);
  grip.style.transform = `translateX(${left.toFixed(1)}px)`;
  grip.style.width = `${Math.min(size, width).toFixed(1)}px`;
  const share = ((shown.fromMs + shown.toMs) / 2 - all.fromMs) / (all.toMs - all.fromMs);
  grip.setAttribute('aria-valuenow', String(Math.round(100 * Math.min(1, Math.max(0, share)))));
}

interface Grip {
  readonly onPointerDown: (event: PointerEvent<HTMLDivElement>) => void;
  readonly onPointerMove: (event: PointerEvent<HTMLDivElement>) => void;
}

type Held = 'middle' | 'start' | 'end';

/** Pressing beside the handle brings it there; its edges widen it, its middle moves it. */
function useGrip(
  room: RefObject<HTMLDivElement | null>,
  { window, overview, setView }: Looked & Pick<OverviewStripProps, 'setView'>,
): Grip {
  const held = useRef<{ readonly part: Held; readonly grabMs: number } | null>(null);
  const timeAt = (event: PointerEvent): number => {
    const box = room.current?.getBoundingClientRect();
    if (box === undefined || overview === null) return 0;
    const share = Math.min(1, Math.max(0, (event.clientX - box.left) / box.width));
    return overview.fromMs + share * (overview.toMs - overview.fromMs);
  };
  const move = (event: PointerEvent) => {
    if (held.current === null) return;
    const { part, grabMs } = held.current;
    const { fromMs, toMs } = window.get();
    const atMs = timeAt(event);
    setView((_, nowMs) => viewAt(grabbed({ fromMs, toMs }, part, atMs - grabMs), nowMs));
  };
  return {
    onPointerDown(event) {
      if (overview === null || room.current === null) return;
      const atMs = timeAt(event);
      const { fromMs, toMs } = window.get();
      const edgeMs = (EDGE_PX / room.current.clientWidth) * (overview.toMs - overview.fromMs);
      const isWide = toMs - fromMs > 4 * edgeMs;
      const part =
        isWide && Math.abs(atMs - fromMs) < edgeMs
          ? 'start'
          : isWide && Math.abs(atMs - toMs) < edgeMs
            ? 'end'
            : 'middle';
      const isInside = atMs > fromMs - edgeMs && atMs < toMs + edgeMs;
      const grips: Readonly<Record<Held, number>> = { start: fromMs, end: toMs, middle: fromMs };
      const grabMs = isInside ? atMs - grips[part] : (toMs - fromMs) / 2;
      held.current = { part, grabMs };
      event.currentTarget.setPointerCapture(event.pointerId);
      move(event);
    },
    onPointerMove(event) {
      if (event.buttons === 0) held.current = null;
      move(event);
    },
  };
}

function grabbed({ fromMs, toMs }: TimeWindow, part: Held, atMs: number): TimeWindow {
  if (part === 'start') return { fromMs: Math.min(atMs, toMs - 1), toMs };
  if (part === 'end') return { fromMs, toMs: Math.max(atMs, fromMs + 1) };
  return { fromMs: atMs, toMs: atMs + toMs - fromMs };
}

/** A window that is pushed up to now follows it. */
function viewAt({ fromMs, toMs }: TimeWindow, nowMs: number): TrendView {
  return toMs >= nowMs ? { kind: 'live', spanMs: toMs - fromMs } : picked({ fromMs, toMs });
}

function onKey(event: KeyboardEvent, setView: OverviewStripProps['setView']): void {
  const byShare = { ArrowLeft: -KEY_SHARE, ArrowRight: KEY_SHARE, PageUp: 10, PageDown: -10 }[event.key];
  if (byShare === undefined) return;
  event.preventDefault();
  setView((view, nowMs) => {
    const spanMs = view.kind === 'live' ? view.spanMs : view.toMs - view.fromMs;
    const fromMs = (view.kind === 'live' ? nowMs - view.spanMs : view.fromMs) + byShare * spanMs;
    return viewAt({ fromMs, toMs: fromMs + spanMs }, nowMs);
  });
}
