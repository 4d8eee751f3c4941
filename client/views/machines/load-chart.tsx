import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import type { SignalCourse } from '../../../server/contract/machine-standing.ts';
import { useApp } from '../../live/app-context.ts';
import { useReader } from '../../live/use-live.ts';
import { CHART_BOX, ChartAxes } from './chart-axes.tsx';
import { chartScale, thinnedIndexes, type ChartScale } from './chart-scale.ts';

const POINTS_MAX = 600;
/** Ninety-five in a hundred points lie within this many spreads. */
const SPREADS = 1.96;

interface ChartProps {
  readonly course: SignalCourse;
  readonly line: string;
}

/** Measured points over the band that was learnt, by load; the newest tenth is drawn dark. */
export function LoadChart({ course, line }: ChartProps) {
  const words = useApp().texts.machines;
  const reader = useReader(line);
  const name = words.signalNames[course.signal] ?? course.signal;
  const indexes = thinnedIndexes(course.timeMs.length, POINTS_MAX).filter(
    (index) => course.load[index] != null,
  );
  const points = indexes.map((index) => ({
    load: course.load[index] ?? 0,
    value: course.value[index] ?? 0,
    expected: course.expected[index] ?? null,
    spread: course.spread[index] ?? null,
  }));
  if (points.length === 0) return <p className="soft">{words.page.noPoints}</p>;
  const x = chartScale(
    points.map(({ load }) => load),
    CHART_BOX.left,
    CHART_BOX.width - CHART_BOX.right,
  );
  const y = chartScale(
    points.flatMap(({ value, expected }) => [value, expected ?? value]),
    CHART_BOX.height - CHART_BOX.bottom,
    CHART_BOX.top,
  );
  return (
    <figure className="machine-chart">
      <figcaption className="soft">{words.page.againstLoad(name)}</figcaption>
      <svg
        viewBox={`0 0 ${CHART_BOX.width} ${CHART_BOX.height}`}
        role="img"
        aria-label={words.page.againstLoadLabel(name)}
      >
        <Cloud points={points} x={x} y={y} />
        <ChartAxes
          yHigh={quantityText({ value: y.high, unit: course.unit }, reader)}
          yLow={quantityText({ value: y.low, unit: course.unit }, reader)}
          xLow={quantityText({ value: x.low, unit: 'kg/h' }, reader)}
          xHigh={quantityText({ value: x.high, unit: 'kg/h' }, reader)}
        />
      </svg>
    </figure>
  );
}

interface CloudProps {
  readonly points: readonly {
    readonly load: number;
    readonly value: number;
    readonly expected: number | null;
    readonly spread: number | null;
  }[];
  readonly x: ChartScale;
  readonly y: ChartScale;
}

const OLD_SHARE = 0.9;

function Cloud({ points, x, y }: CloudProps) {
  const bands = points.flatMap(({ load, expected, spread }) =>
    expected === null || spread === null
      ? []
      : [{ load, low: expected - SPREADS * spread, high: expected + SPREADS * spread }],
  );
  return (
    <>
      {bands.map(({ load, low, high }, index) => (
        <line
          key={index}
          className="chart-band"
          x1={x.at(load)}
          x2={x.at(load)}
          y1={y.at(low)}
          y2={y.at(high)}
        />
      ))}
      {points.map(({ load, value }, index) => (
        <circle
          key={index}
          className={index >= points.length * OLD_SHARE ? 'chart-point chart-point-new' : 'chart-point'}
          cx={x.at(load)}
          cy={y.at(value)}
          r={2}
        />
      ))}
    </>
  );
}
