import { useCallback, useState } from 'react';
import { ageText } from '../../../server/contract/format/age-text.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { quantityText, type Reader } from '../../../server/contract/format/quantity-text.ts';
import { recentText } from '../../../server/contract/format/time-text.ts';
import type { BeforeAfterAnswer, BeforeAfterSeries } from '../../../server/contract/stretch-answer.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchBeforeAfter } from '../../live/plant-api.ts';
import { useAnswer } from '../../live/use-answer.ts';
import { useNames, useReader, useTimeReader } from '../../live/use-live.ts';
import { differenceText } from './difference-text.ts';
import type { TimeEvent } from './time-events.ts';
import { useEventTitle } from './time-lane.tsx';
import { TrendDock } from './trend-dock.tsx';

interface EventDockProps {
  readonly line: string;
  readonly series: readonly string[];
  readonly events: readonly TimeEvent[];
  readonly onClose: () => void;
  readonly onCentre: (timeMs: number) => void;
}

const MINUTE_MS = 60_000;
const SPANS_MS = [10 * MINUTE_MS, 30 * MINUTE_MS, 60 * MINUTE_MS, 120 * MINUTE_MS] as const;
const SETTLES_MS = [0, 5 * MINUTE_MS, 15 * MINUTE_MS, 30 * MINUTE_MS] as const;

/** An event of the time axis: what it was, and how every trace stood before and after it. */
export function EventDock({ line, series, events, onClose, onCentre }: EventDockProps) {
  const { texts, clock } = useApp();
  const words = texts.trends.event;
  const time = useTimeReader();
  const titleOf = useEventTitle(line);
  const [chosen, choose] = useState(0);
  const event = events[Math.min(chosen, events.length - 1)];
  if (event === undefined) return null;
  const at = (timeMs: number) => recentText(timeMs, clock.nowMs(), time);
  const by =
    event.kind === 'mark' ? words.by(event.mark.writtenBy.id) : texts.format.priority[event.alarm.priority];
  return (
    <TrendDock
      title={`${at(event.timeMs)} · ${titleOf(event)} · ${by}`}
      onClose={onClose}
      actions={
        <button type="button" className="button" onClick={() => onCentre(event.timeMs)}>
          {words.centre}
        </button>
      }
    >
      {events.length > 1 && (
        <div className="event-choice" role="group" aria-label={words.choose}>
          {events.map((one, index) => (
            <button
              key={one.key}
              type="button"
              className="button button-small"
              aria-pressed={index === chosen}
              onClick={() => choose(index)}
            >
              {at(one.timeMs)} {titleOf(one)}
            </button>
          ))}
        </div>
      )}
      {series.length > 0 && <BeforeAfter key={event.key} line={line} series={series} atMs={event.timeMs} />}
    </TrendDock>
  );
}

interface BeforeAfterProps {
  readonly line: string;
  readonly series: readonly string[];
  readonly atMs: number;
}

function BeforeAfter({ line, series, atMs }: BeforeAfterProps) {
  const { texts } = useApp();
  const words = texts.trends.event;
  const reader = useReader(line);
  const [spanMs, setSpanMs] = useState<number>(SPANS_MS[0]);
  const [settleMs, setSettleMs] = useState<number>(SETTLES_MS[1]);
  const ask = useCallback(
    (signal: AbortSignal) => fetchBeforeAfter({ series, atMs, spanMs, settleMs }, signal),
    [series, atMs, spanMs, settleMs],
  );
  const asked = useAnswer(ask);
  const age = (ms: number) => ageText(ms, reader.words.decimalMark);
  return (
    <>
      <div className="event-settings">
        <Choice label={words.span} choices={SPANS_MS} chosen={spanMs} textOf={age} onChoose={setSpanMs} />
        <Choice
          label={words.settle}
          choices={SETTLES_MS}
          chosen={settleMs}
          textOf={(ms) => (ms === 0 ? words.noSettle : age(ms))}
          onChoose={setSettleMs}
        />
      </div>
      {asked.state === 'failed' && <p role="alert">{texts.trends.measure.failed}</p>}
      {asked.answer === null ? (
        asked.state === 'asking' && <p className="soft">{texts.trends.loading}</p>
      ) : (
        <BeforeAfterTable answer={asked.answer} reader={reader} />
      )}
    </>
  );
}

interface ChoiceProps {
  readonly label: string;
  readonly choices: readonly number[];
  readonly chosen: number;
  readonly textOf: (choice: number) => string;
  readonly onChoose: (choice: number) => void;
}

function Choice({ label, choices, chosen, textOf, onChoose }: ChoiceProps) {
  return (
    <label className="event-setting">
      <span className="soft">{label}</span>
      <select className="input" value={chosen} onChange={(event) => onChoose(Number(event.target.value))}>
        {choices.map((choice) => (
          <option key={choice} value={choice}>
            {textOf(choice)}
          </option>
        ))}
      </select>
    </label>
  );
}

function BeforeAfterTable({
  answer,
  reader,
}: {
  readonly answer: BeforeAfterAnswer;
  readonly reader: Reader;
}) {
  const { texts } = useApp();
  const words = texts.trends.event;
  const names = useNames();
  const age = (ms: number) => ageText(ms, reader.words.decimalMark);
  return (
    <>
      <div className="trend-dock-room" tabIndex={0} role="group" aria-label={words.table}>
        <table role="table" className="table table-numbers">
          <thead>
            <tr>
              <th scope="col">{texts.trends.measure.column.name}</th>
              <th scope="col">{words.before(age(answer.beforeMs))}</th>
              <th scope="col">{words.after(age(answer.afterMs))}</th>
              <th scope="col">{words.difference}</th>
              <th scope="col">{words.interval}</th>
              <th scope="col" className="table-words">
                {words.verdict}
              </th>
            </tr>
          </thead>
          <tbody>
            {answer.series.map((row) => (
              <BeforeAfterRow key={row.series} row={row} name={names.subject(row.series)} reader={reader} />
            ))}
          </tbody>
        </table>
      </div>
      <p className="soft trend-dock-note">
        {words.note(age(answer.stepMs))} {answer.afterMs < answer.beforeMs && words.short}
      </p>
    </>
  );
}

interface RowProps {
  readonly row: BeforeAfterSeries;
  readonly name: string;
  readonly reader: Reader;
}

function BeforeAfterRow({ row, name, reader }: RowProps) {
  const { texts } = useApp();
  const words = texts.trends.event;
  const { unit, before, after, difference, low, high } = row;
  const value = (side: BeforeAfterSeries['before']) =>
    side === null ? (
      <span className="soft">{texts.trends.measure.none}</span>
    ) : (
      <>
        {quantityText({ value: side.mean, unit }, reader)}{' '}
        <span className="soft">
          {words.worth(numberText(side.effectiveCount, 0, reader.words.decimalMark))}
        </span>
      </>
    );
  const { points } = texts.trends.measure;
  const change = (one: number) => differenceText({ value: one, unit }, reader, { points });
  const isKnown = difference !== null && low !== null && high !== null;
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{value(before)}</td>
      <td>{value(after)}</td>
      <td>{difference === null ? '' : <b>{change(difference)}</b>}</td>
      <td>{isKnown && words.between(change(low), change(high))}</td>
      <td className="table-words">{isKnown ? verdict(low, high, words.verdicts) : words.verdicts.unknown}</td>
    </tr>
  );
}

function verdict(
  low: number,
  high: number,
  words: { readonly up: string; readonly down: string; readonly none: string },
): string {
  if (low > 0) return words.up;
  return high < 0 ? words.down : words.none;
}
