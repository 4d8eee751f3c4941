import { dayText, clockText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import type { TrendState } from '../../live/trend-source.ts';
import { backToLive, heldShare, moved, zoomed, type TrendView } from '../../live/trend-view.ts';
import { useTimeReader } from '../../live/use-live.ts';
import { TrendNote } from '../../parts/trend-note.tsx';
import type { Arrangement, TrendChoice } from './trend-link.ts';

interface TrendToolbarProps {
  readonly choice: TrendChoice;
  readonly state: TrendState;
  readonly setView: (next: (view: TrendView, nowMs: number) => TrendView) => void;
  readonly change: (next: (before: TrendChoice) => TrendChoice) => void;
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

/** How much time is shown and which: everything that wheel and keys do, as buttons. */
export function TrendToolbar({ choice, state, setView, change }: TrendToolbarProps) {
  const { texts } = useApp();
  const isLive = choice.view.kind === 'live';
  return (
    <div className="trends-toolbar">
      <SpanButtons view={choice.view} setView={setView} />
      <MoveButtons isLive={isLive} setView={setView} />
      <Arrange
        chosen={choice.arrangement}
        onChoose={(arrangement) => change((before) => ({ ...before, arrangement }))}
      />
      <WindowText state={state} isLive={isLive} />
      <button type="button" className="button" disabled={isLive} onClick={() => setView(backToLive)}>
        {texts.trends.backToLive}
      </button>
    </div>
  );
}

function SpanButtons({ view, setView }: Pick<TrendToolbarProps, 'setView'> & { readonly view: TrendView }) {
  const { texts } = useApp();
  return (
    <div role="group" aria-label={texts.trends.span} className="trends-group">
      {SPANS.map(([name, spanMs]) => (
        <button
          key={name}
          type="button"
          className="button"
          aria-pressed={view.kind === 'live' && view.spanMs === spanMs}
          onClick={() => setView(() => ({ kind: 'live', spanMs }))}
        >
          {texts.trends.spans[name]}
        </button>
      ))}
    </div>
  );
}

function MoveButtons({ isLive, setView }: Pick<TrendToolbarProps, 'setView'> & { readonly isLive: boolean }) {
  const { texts } = useApp();
  const words = texts.trends;
  const move = (byShare: number) => setView((view, nowMs) => moved(view, byShare, nowMs));
  const zoom = (factor: number) =>
    setView((view, nowMs) => zoomed(view, { factor, atShare: heldShare(view), nowMs }));
  return (
    <div className="trends-group">
      <button type="button" className="button" onClick={() => move(-STEP)}>
        {words.earlier}
      </button>
      <button type="button" className="button" disabled={isLive} onClick={() => move(STEP)}>
        {words.later}
      </button>
      <button type="button" className="button" onClick={() => zoom(STEP)}>
        {words.zoomIn}
      </button>
      <button type="button" className="button" onClick={() => zoom(1 / STEP)}>
        {words.zoomOut}
      </button>
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
    <div role="group" aria-label={texts.trends.arrange} className="trends-group">
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

/** From when to when, and whether that moves; loading and failure are said here too. */
function WindowText({ state, isLive }: { readonly state: TrendState; readonly isLive: boolean }) {
  const { texts } = useApp();
  const time = useTimeReader();
  const { fromMs, toMs } = state;
  const [fromDay, toDay] = [dayText(fromMs, time), dayText(toMs, time)];
  const from = `${fromDay} ${clockText(fromMs, time)}`;
  const to = `${fromDay === toDay ? '' : `${toDay} `}${clockText(toMs, time)}`;
  return (
    <p className="trends-window" data-from={Math.round(fromMs)} data-to={Math.round(toMs)}>
      <span className="number-plain">
        {from} – {to}
      </span>{' '}
      <b>{isLive ? texts.trends.live : texts.trends.past}</b> <TrendNote state={state} />
    </p>
  );
}
