import { useCallback } from 'react';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchShiftMeasures } from '../../live/plant-api.ts';
import { useTimeReader } from '../../live/use-live.ts';
import { useAnswer } from '../../live/use-answer.ts';

const WEEK_MS = 7 * 86_400_000;

/** Each shift of the last week beside the others. */
export function ShiftMeasuresTable() {
  const { texts, clock } = useApp();
  const words = texts.alarms.measures;
  const time = useTimeReader();
  const ask = useCallback(
    (signal: AbortSignal) => fetchShiftMeasures(clock.nowMs() - WEEK_MS, clock.nowMs(), signal),
    [clock],
  );
  const { answer } = useAnswer(ask);
  if (answer === null || answer.length === 0) return null;
  return (
    <section className="measures-shifts">
      <h3>{words.shifts}</h3>
      <table className="table">
        <thead>
          <tr>
            <th scope="col">{words.shift}</th>
            <th scope="col">{words.began}</th>
            {[words.asked, words.mostInTen, words.inFlood].map((name) => (
              <th key={name} scope="col" className="table-number">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {answer.map(({ shift, name, measures }) => (
            <tr key={shift}>
              <th scope="row">{name}</th>
              <td className="table-time">{stampText(measures.fromMs, time)}</td>
              <td className="table-number">{measures.annunciations}</td>
              <td className="table-number">{measures.tenMinutesMax}</td>
              <td className="table-number">
                {`${numberText(measures.floodRatio * 100, 1, texts.format.decimalMark)} %`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
