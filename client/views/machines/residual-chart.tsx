import type { SignalCourse } from '../../../server/contract/machine-standing.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useReader, useTimeReader } from '../../live/use-live.ts';
import { CHART_BOX, ChartAxes } from './chart-axes.tsx';
import { chartScale } from './chart-scale.ts';
import { deviationLevelText } from './deviation-text.ts';

interface ChartProps {
  readonly course: SignalCourse;
  readonly line: string;
}

/** How far the signal lay from what was expected, each two hours of running. */
export function ResidualChart({ course, line }: ChartProps) {
  const words = useApp().texts.machines;
  const reader = useReader(line);
  const time = useTimeReader();
  const name = words.signalNames[course.signal] ?? course.signal;
  const { blockTimeMs, blockResidual } = course;
  if (blockTimeMs.length === 0) return <p className="soft">{words.page.noPoints}</p>;
  const x = chartScale(blockTimeMs, CHART_BOX.left, CHART_BOX.width - CHART_BOX.right);
  const y = chartScale([...blockResidual, 0], CHART_BOX.height - CHART_BOX.bottom, CHART_BOX.top);
  const path = blockTimeMs
    .map(
      (timeMs, index) =>
        `${index === 0 ? 'M' : 'L'}${x.at(timeMs).toFixed(1)} ${y.at(blockResidual[index] ?? 0).toFixed(1)}`,
    )
    .join('');
  return (
    <figure className="machine-chart">
      <figcaption className="soft">{words.page.overTime(name)}</figcaption>
      <svg
        viewBox={`0 0 ${CHART_BOX.width} ${CHART_BOX.height}`}
        role="img"
        aria-label={words.page.overTime(name)}
      >
        <line
          className="chart-zero"
          x1={CHART_BOX.left}
          x2={CHART_BOX.width - CHART_BOX.right}
          y1={y.at(0)}
          y2={y.at(0)}
        />
        <path className="chart-line" d={path} />
        <ChartAxes
          yHigh={deviationLevelText(y.high, course, reader)}
          yLow={deviationLevelText(y.low, course, reader)}
          xLow={stampText(blockTimeMs[0] ?? 0, time)}
          xHigh={stampText(blockTimeMs.at(-1) ?? 0, time)}
        />
      </svg>
    </figure>
  );
}
