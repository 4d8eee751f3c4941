import { useEffect, useRef, useSyncExternalStore, type ReactNode } from 'react';
import { clockText, dayText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import type { Followed, SnapshotStore } from '../../live/snapshot-store.ts';
import type { TrendState } from '../../live/trend-source.ts';
import { backToLive, heldShare, moved, zoomed, type TrendView } from '../../live/trend-view.ts';
import { useTimeReader } from '../../live/use-live.ts';
import { SignButton } from '../../parts/sign-button.tsx';
import { TrendNote } from '../../parts/trend-note.tsx';
import type { Arrangement } from './trend-link.ts';
import type { TrendDesk } from './use-trend-desk.ts';

interface TrendToolbarProps {
  readonly desk: TrendDesk;
  readonly state: Followed<TrendState>;
  readonly children: ReactNode;
}

const MINUTE_MS = 60_000;
const SPANS = [
  ['min10', 10 * MINUTE_MS],
  ['min30', 30 * MINUTE_MS],
  ['hour2', 120 * MINUTE_MS],
  ['hour8', 480 * MINUTE_MS],
  ['day', 1440 * MINUTE_MS],
  ['week', 10_080 * MINUTE_MS],
] as const;
const STEP = 0.5;

/** How much time is shown and which: everything that wheel and keys do, as buttons; and what else can be done. */
export function TrendToolbar({ desk, state, children }: TrendToolbarProps) {
  const { texts } = useApp();
  const isLive = useIsLive(desk.view);
  return (
    <div className="trends-toolbar">
      <SpanButtons desk={desk} />
      <MoveButtons desk={desk} isLive={isLive} />
      <Arrange
        chosen={desk.look.arrangement}
        onChoose={(arrangement) => desk.change((before) => ({ ...before, arrangement }))}
      />
      <div className="trends-group">{children}</div>
      <WindowText state={state} isLive={isLive} />
      <button type="button" className="button" disabled={isLive} onClick={() => desk.setView(backToLive)}>
        {texts.trends.backToLive}
      </button>
    </div>
  );
}

function useIsLive(view: SnapshotStore<TrendView>): boolean {
  return useSyncExternalStore(view.subscribe, () => view.get().kind === 'live');
}

function SpanButtons({ desk: { view, setView } }: { readonly desk: TrendDesk }) {
  const { texts } = useApp();
  const shown = useSyncExternalStore(view.subscribe, () => {
    const now = view.get();
    return now.kind === 'live' ? now.spanMs : null;
  });
  return (
    <div role="group" aria-label={texts.trends.span} className="trends-group joined">
      {SPANS.map(([name, spanMs]) => (
        <button
          key={name}
          type="button"
          className="button"
          aria-pressed={shown === spanMs}
          onClick={() => setView(() => ({ kind: 'live', spanMs }))}
        >
          {texts.trends.spans[name]}
        </button>
      ))}
    </div>
  );
}

function MoveButtons({ desk: { setView }, isLive }: { readonly desk: TrendDesk; readonly isLive: boolean }) {
  const { texts } = useApp();
  const words = texts.trends;
  const move = (byShare: number) => setView((view, nowMs) => moved(view, byShare, nowMs));
  const zoom = (factor: number) =>
    setView((view, nowMs) => zoomed(view, { factor, atShare: heldShare(view), nowMs }));
  return (
    <div role="group" aria-label={words.move} className="trends-group joined">
      <SignButton name={words.earlier} sign="◂" onPress={() => move(-STEP)} />
      <SignButton name={words.later} sign="▸" onPress={() => move(STEP)} isOff={isLive} />
      <SignButton name={words.zoomIn} sign="+" onPress={() => zoom(STEP)} />
      <SignButton name={words.zoomOut} sign="−" onPress={() => zoom(1 / STEP)} />
    </div>
  );
}

interface ArrangeProps {
  readonly chosen: Arrangement;
  readonly onChoose: (arrangement: Arrangement) => void;
}

function Arrange({ chosen, onChoose }: ArrangeProps) {
  const { texts } = useApp();
  return (
    <div role="group" aria-label={texts.trends.arrange} className="trends-group joined">
      {(['lanes', 'together'] as const).map((arrangement) => (
        <button
          key={arrangement}
          type="button"
          className="button"
          aria-pressed={chosen === arrangement}
          onClick={() => onChoose(arrangement)}
        >
          {texts.trends[arrangement]}
        </button>
      ))}
    </div>
  );
}

/** From when to when, and whether that moves. Written without rendering: it changes as often as the window does. */
function WindowText({ state, isLive }: { readonly state: Followed<TrendState>; readonly isLive: boolean }) {
  const { texts } = useApp();
  const time = useTimeReader();
  const place = useRef<HTMLParagraphElement>(null);
  const said = useRef<HTMLSpanElement>(null);
  useEffect(() => {
    const write = () => {
      if (place.current === null || said.current === null) return;
      const { fromMs, toMs } = state.get();
      const [fromDay, toDay] = [dayText(fromMs, time), dayText(toMs, time)];
      said.current.textContent = `${fromDay} ${clockText(fromMs, time)} – ${fromDay === toDay ? '' : `${toDay} `}${clockText(toMs, time)}`;
      place.current.dataset['from'] = String(Math.round(fromMs));
      place.current.dataset['to'] = String(Math.round(toMs));
    };
    write();
    return state.subscribe(write);
  }, [state, time]);
  return (
    <p ref={place} className="trends-window">
      <span ref={said} className="number-plain" /> <b>{isLive ? texts.trends.live : texts.trends.past}</b>{' '}
      <LoadingNote state={state} />
    </p>
  );
}

function LoadingNote({ state }: { readonly state: Followed<TrendState> }) {
  const isLoading = useSyncExternalStore(state.subscribe, () => state.get().isLoading);
  const hasFailed = useSyncExternalStore(state.subscribe, () => state.get().hasFailed);
  return <TrendNote state={{ isLoading, hasFailed }} />;
}
