import { useCallback } from 'react';
import { ageText } from '../../../server/contract/format/age-text.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { quantityText, type Reader } from '../../../server/contract/format/quantity-text.ts';
import { recentText } from '../../../server/contract/format/time-text.ts';
import type { MeasuredSeries } from '../../../server/contract/stretch-answer.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchMeasured } from '../../live/plant-api.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { useAnswer } from '../../live/use-answer.ts';
import { useNames, useReader, useTimeReader } from '../../live/use-live.ts';
import { SignButton } from '../../parts/sign-button.tsx';
import { differenceText } from './difference-text.ts';
import { TrendDock } from './trend-dock.tsx';

interface MeasureDockProps {
  readonly line: string;
  readonly series: readonly string[];
  readonly stretch: TimeWindow;
  readonly onChange: (stretch: TimeWindow | null) => void;
  readonly onZoom: (stretch: TimeWindow) => void;
}

const NUDGE_SHARE = 0.02;
const COVERED_WORTH_SAYING = 0.995;

/** What the traces did between two instants. */
export function MeasureDock({ line, series, stretch, onChange, onZoom }: MeasureDockProps) {
  const { texts, clock } = useApp();
  const words = texts.trends.measure;
  const time = useTimeReader();
  const reader = useReader(line);
  const { fromMs, toMs } = stretch;
  const ask = useCallback(
    (signal: AbortSignal) => fetchMeasured(series, { fromMs, toMs }, signal),
    [series, fromMs, toMs],
  );
  const asked = useAnswer(ask);
  const at = (timeMs: number) => recentText(timeMs, clock.nowMs(), time);
  return (
    <TrendDock
      title={words.title(at(fromMs), at(toMs), ageText(toMs - fromMs, reader.words.decimalMark))}
      onClose={() => onChange(null)}
      actions={
        <>
          <Nudges stretch={stretch} onChange={onChange} />
          <button type="button" className="button" onClick={() => onZoom(stretch)}>
            {words.zoom}
          </button>
        </>
      }
    >
      {asked.state === 'failed' && <p role="alert">{words.failed}</p>}
      {asked.answer === null ? (
        asked.state === 'asking' && <p className="soft">{texts.trends.loading}</p>
      ) : (
        <>
          <MeasureTable rows={asked.answer.series} reader={reader} />
          <p className="soft trend-dock-note">
            {words.note(ageText(asked.answer.stepMs, reader.words.decimalMark))}
          </p>
        </>
      )}
    </TrendDock>
  );
}

function Nudges({ stretch, onChange }: Pick<MeasureDockProps, 'stretch' | 'onChange'>) {
  const { texts } = useApp();
  const words = texts.trends.measure;
  const { fromMs, toMs } = stretch;
  const byMs = (toMs - fromMs) * NUDGE_SHARE;
  const nudge = (name: string, sign: string, next: TimeWindow) => (
    <SignButton name={name} sign={sign} isSmall onPress={() => onChange(next)} />
  );
  return (
    <>
      <span className="trend-nudges" role="group" aria-label={words.start}>
        <span className="soft">{words.start}</span>
        {nudge(words.startEarlier, '◂', { fromMs: fromMs - byMs, toMs })}
        {nudge(words.startLater, '▸', { fromMs: fromMs + byMs, toMs })}
      </span>
      <span className="trend-nudges" role="group" aria-label={words.end}>
        <span className="soft">{words.end}</span>
        {nudge(words.endEarlier, '◂', { fromMs, toMs: toMs - byMs })}
        {nudge(words.endLater, '▸', { fromMs, toMs: toMs + byMs })}
      </span>
    </>
  );
}

interface MeasureTableProps {
  readonly rows: readonly MeasuredSeries[];
  readonly reader: Reader;
}

const COLUMNS = ['first', 'last', 'difference', 'slope', 'mean', 'min', 'max', 'spread', 'total'] as const;

function MeasureTable({ rows, reader }: MeasureTableProps) {
  const { texts } = useApp();
  const words = texts.trends.measure;
  return (
    <div className="trend-dock-room" tabIndex={0} role="group" aria-label={words.table}>
      <table role="table" className="table table-numbers">
        <thead>
          <tr>
            <th scope="col">{words.column.name}</th>
            {COLUMNS.map((column) => (
              <th scope="col" key={column}>
                {words.column[column]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <MeasureRow key={row.series} row={row} reader={reader} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function MeasureRow({ row, reader }: { readonly row: MeasuredSeries; readonly reader: Reader }) {
  const { texts } = useApp();
  const names = useNames();
  const cells = cellsOf(row, reader, texts.trends.measure);
  return (
    <tr>
      <th scope="row">
        {names.subject(row.series)}
        <Covered row={row} reader={reader} />
      </th>
      {COLUMNS.map((column, index) => (
        <td key={column}>{cells[index] ?? <span className="soft">{texts.trends.measure.none}</span>}</td>
      ))}
    </tr>
  );
}

function Covered({ row, reader }: { readonly row: MeasuredSeries; readonly reader: Reader }) {
  const { texts } = useApp();
  if (row.coveredRatio >= COVERED_WORTH_SAYING) return null;
  const share = numberText(row.coveredRatio * 100, 0, reader.words.decimalMark);
  return <span className="soft trend-covered">{texts.trends.measure.covered(share)}</span>;
}

/** In the order of the heads; null where there is nothing to say. */
function cellsOf(
  row: MeasuredSeries,
  reader: Reader,
  { perHour, points }: { readonly perHour: (slope: string) => string; readonly points: string },
): readonly (string | null)[] {
  const { unit } = row;
  const value = (one: number | null) => (one === null ? null : quantityText({ value: one, unit }, reader));
  const change = (one: number | null, isSigned = true) =>
    one === null || unit === 'state'
      ? null
      : differenceText({ value: one, unit }, reader, { points, isSigned });
  const slope = change(row.slopePerH);
  // Only what flows has a total; of anything else there is nothing to know.
  const isFlow = unit === 'kg/h' || unit === 'mL/min';
  const total = row.total === null ? null : quantityText(row.total, reader);
  return [
    value(row.first),
    value(row.last),
    change(row.difference),
    slope === null ? null : perHour(slope),
    unit === 'state' ? null : value(row.mean),
    value(row.min),
    value(row.max),
    change(row.standardDeviation, false),
    isFlow ? total : '',
  ];
}
