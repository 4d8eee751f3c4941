import { ageText } from '../../../server/contract/format/age-text.ts';
import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import type { MachinePage, StartUp } from '../../../server/contract/machine-standing.ts';
import { useApp } from '../../live/app-context.ts';
import { useReader, useTimeReader } from '../../live/use-live.ts';
import { chartScale } from './chart-scale.ts';

const BOX = { width: 420, height: 160 };
const SHOWN_MAX = 12;

/** Start-ups over each other, notes and repairs, and every version of what is normal. */
export function MachinePast({ page }: { readonly page: MachinePage }) {
  const { texts } = useApp();
  const words = texts.machines.page;
  const time = useTimeReader();
  return (
    <div className="machine-charts">
      <section className="panel machine-part">
        <h2>{words.startUps}</h2>
        <StartUps startUps={page.startUps} line={page.standing.line} />
      </section>
      <section className="panel machine-part">
        <h2>{words.notes}</h2>
        {page.marks.length === 0 && <p className="soft">{words.noNotes}</p>}
        <ul>
          {page.marks.map(({ id, timeMs, text, writtenBy }) => (
            <li key={id}>
              {stampText(timeMs, time)} {text} <span className="soft">{writtenBy.id}</span>
            </li>
          ))}
        </ul>
      </section>
      <section className="panel machine-part">
        <h2>{words.baseline}</h2>
        {page.baselines.length === 0 && <p className="soft">{texts.machines.notLearnt}</p>}
        <ul>
          {page.baselines.map(({ id, timeMs, reason, writtenBy }) => (
            <li key={id}>
              {words.version(id, stampText(timeMs, time), reason)}{' '}
              <span className="soft">{writtenBy.id}</span>
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}

function StartUps({ startUps, line }: { readonly startUps: readonly StartUp[]; readonly line: string }) {
  const { texts } = useApp();
  const words = texts.machines.page;
  const reader = useReader(line);
  const time = useTimeReader();
  const shown = startUps.slice(-SHOWN_MAX);
  if (shown.length === 0) return <p className="soft">{words.noStartUps}</p>;
  const x = chartScale(
    shown.flatMap(({ afterMs }) => afterMs),
    0,
    BOX.width,
  );
  const y = chartScale([0, ...shown.flatMap(({ currentA }) => currentA)], BOX.height, 0);
  const ampere = (value: number | null) =>
    value === null ? '–' : quantityText({ value, unit: 'A' }, reader);
  return (
    <>
      <svg
        className="machine-starts"
        viewBox={`0 0 ${BOX.width} ${BOX.height}`}
        role="img"
        aria-label={words.startUps}
      >
        {shown.map(({ startedMs, afterMs, currentA }, index) => (
          <path
            key={startedMs}
            className={index === shown.length - 1 ? 'chart-line' : 'chart-line chart-line-old'}
            d={afterMs
              .map(
                (ms, at) =>
                  `${at === 0 ? 'M' : 'L'}${x.at(ms).toFixed(1)} ${y.at(currentA[at] ?? 0).toFixed(1)}`,
              )
              .join('')}
          />
        ))}
      </svg>
      <ul>
        {shown.map(({ startedMs, peakA, runUpMs }) => (
          <li key={startedMs}>
            {words.startUp(
              stampText(startedMs, time),
              ampere(peakA),
              runUpMs === null ? '–' : ageText(runUpMs, reader.words.decimalMark),
            )}
          </li>
        ))}
      </ul>
    </>
  );
}
