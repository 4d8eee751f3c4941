import { useCallback, useState } from 'react';
import type { AlarmMeasures } from '../../../server/contract/alarm-measures.ts';
import { ageText } from '../../../server/contract/format/age-text.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchAlarmMeasures } from '../../live/plant-api.ts';
import { MeasureLists } from './measure-lists.tsx';
import { RangeChoice } from '../../parts/range-choice.tsx';
import { ShiftMeasuresTable } from './shift-measures.tsx';
import { useAnswer } from '../../live/use-answer.ts';

const HOUR_MS = 3_600_000;
const RANGES = { hour8: 8, day: 24, week: 168, month: 720 } as const;
const NAMES = ['hour8', 'day', 'week', 'month'] as const;
type Range = (typeof NAMES)[number];

/** How good the alarms are: few, spread out, none that repeats itself, each answered. */
export function AlarmMeasuresPanel() {
  const { texts, clock } = useApp();
  const words = texts.alarms.measures;
  const [range, setRange] = useState<Range>('day');
  const ask = useCallback(
    (signal: AbortSignal) => {
      const nowMs = clock.nowMs();
      return fetchAlarmMeasures(nowMs - RANGES[range] * HOUR_MS, nowMs, signal);
    },
    [clock, range],
  );
  const { answer, state } = useAnswer(ask);
  return (
    <section className="measures" aria-label={texts.alarms.tabs.measures}>
      <div className="alarms-head">
        <RangeChoice
          label={words.range}
          names={NAMES}
          texts={words.ranges}
          range={range}
          onChoose={setRange}
        />
      </div>
      <p className="alarms-note soft">{words.about}</p>
      {state === 'failed' && <p role="alert">{words.failed}</p>}
      {answer === null && state === 'asking' && <p className="alarms-note">{words.loading}</p>}
      {answer !== null && <Measures measures={answer} />}
      <ShiftMeasuresTable />
    </section>
  );
}

function Measures({ measures }: { readonly measures: AlarmMeasures }) {
  const { texts } = useApp();
  const words = texts.alarms.measures;
  const mark = texts.format.decimalMark;
  const { acknowledgeMsMedian: median, acknowledgeMsP95: p95 } = measures;
  return (
    <>
      {measures.annunciations === 0 && <p className="alarms-note">{words.nothing}</p>}
      <VerdictTable measures={measures} />
      {median !== null && p95 !== null && (
        <p className="alarms-note">{words.acknowledged(ageText(median, mark), ageText(p95, mark))}</p>
      )}
      <MeasureLists measures={measures} />
    </>
  );
}

function VerdictTable({ measures }: { readonly measures: AlarmMeasures }) {
  const { texts } = useApp();
  const words = texts.alarms.measures;
  const shown = (metric: string, value: number) =>
    metric.endsWith('Ratio')
      ? `${numberText(value * 100, 1, texts.format.decimalMark)} %`
      : numberText(value, Number.isInteger(value) ? 0 : value < 1 ? 2 : 1, texts.format.decimalMark);
  return (
    <table className="table">
      <thead>
        <tr>
          <th scope="col">{words.measure}</th>
          <th scope="col" className="table-number">
            {words.value}
          </th>
          <th scope="col" className="table-number">
            {words.target}
          </th>
          <th scope="col">{words.verdict}</th>
        </tr>
      </thead>
      <tbody>
        {measures.verdicts.map(({ metric, value, targetMax, isMet }) => (
          <tr key={metric} className={isMet ? undefined : 'measure-missed'}>
            <th scope="row">{words.names[metric] ?? metric}</th>
            <td className="table-number">{shown(metric, value)}</td>
            <td className="table-number">{shown(metric, targetMax)}</td>
            <td>{isMet ? words.met : words.missed}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
