import { quantityParts, quantityText } from '../../server/contract/format/quantity-text.ts';
import { clockText } from '../../server/contract/format/time-text.ts';
import { unknownText } from '../../server/contract/format/unknown-text.ts';
import { useApp } from '../live/app-context.ts';
import type { SnapshotStore } from '../live/snapshot-store.ts';
import { EMPTY_COLUMNS } from '../live/trend-columns.ts';
import {
  useConnection,
  useFigure,
  useNames,
  useReader,
  useReading,
  useStore,
  useTimeReader,
} from '../live/use-live.ts';
import type { ChartFeed } from './chart-feed.ts';
import type { TraceStyle } from './trace-style.ts';
import { useUnitOf } from './use-series-facts.ts';
import { valueAt } from './value-at.ts';

interface TraceHeadProps {
  readonly id: string;
  readonly line: string;
  readonly style: TraceStyle;
  readonly isAlone: boolean;
  readonly feed: ChartFeed;
  readonly cursor: SnapshotStore<number | null>;
  readonly onRemove: ((id: string) => void) | undefined;
}

/** Name, unit and reading of one trace: at the cursor while there is one, else now. */
export function TraceHead({ id, line, style, isAlone, feed, cursor, onRemove }: TraceHeadProps) {
  const { texts } = useApp();
  const name = useNames().subject(id);
  return (
    <li className="trace-head">
      <span className="trace-name">
        {!isAlone && <Swatch style={style} />}
        {name}
        {onRemove !== undefined && (
          <button
            type="button"
            className="trace-remove"
            aria-label={texts.trends.remove(name)}
            onClick={() => onRemove(id)}
          >
            ×
          </button>
        )}
      </span>
      <TraceReading id={id} line={line} feed={feed} cursor={cursor} />
    </li>
  );
}

function TraceReading({ id, line, feed, cursor }: Pick<TraceHeadProps, 'id' | 'line' | 'feed' | 'cursor'>) {
  const { texts } = useApp();
  const cursorMs = useStore(cursor);
  const reader = useReader(line);
  const time = useTimeReader();
  const unit = useUnitOf()(id);
  const now = useNowValue(id);
  const value =
    cursorMs === null ? now.value : valueAt(feed.state.get().columns.get(id) ?? EMPTY_COLUMNS, cursorMs);
  const under = cursorMs === null ? null : underAt(feed, id, cursorMs);
  const when = cursorMs === null ? texts.trends.now : texts.trends.atCursor(clockText(cursorMs, time));
  if (value === null) {
    return (
      <span className="trace-reading unknown">{cursorMs === null ? now.because : texts.trends.noData}</span>
    );
  }
  const parts = quantityParts({ value, unit }, reader);
  return (
    <span className="trace-reading">
      <span className="number">{parts.number}</span> <span className="unit">{parts.unit}</span>{' '}
      <span className="trace-when">{when}</span>
      {under !== null && (
        <span className="trace-when">
          {texts.trends.under.at(quantityText({ value: under, unit }, reader))}
        </span>
      )}
    </span>
  );
}

/** What is laid under, at the cursor. */
function underAt(feed: ChartFeed, id: string, cursorMs: number): number | null {
  const { under, underShiftMs } = feed.extras.get();
  const columns = under.get(id);
  return columns === undefined ? null : valueAt(columns, cursorMs - underShiftMs);
}

/** The live value of a tag or figure, or why there is none. */
function useNowValue(id: string): { readonly value: number | null; readonly because: string } {
  const { texts } = useApp();
  const figure = useFigure(id);
  const reading = useReading(id);
  const connection = useConnection();
  if (connection.state === 'lost') return { value: null, because: texts.connection.none };
  if (figure !== undefined) {
    return { value: figure.value, because: unknownText(figure.because ?? 'fault', texts.format) };
  }
  if (reading !== undefined) return { value: reading.value, because: texts.format.quality[reading.quality] };
  return { value: null, because: texts.waiting };
}

function Swatch({ style }: { readonly style: TraceStyle }) {
  return (
    <svg className="trace-swatch" width="30" height="8" aria-hidden="true">
      <line x1="0" x2="30" y1="4" y2="4" strokeWidth={style.widthPx} strokeDasharray={style.dash.join(' ')} />
    </svg>
  );
}
