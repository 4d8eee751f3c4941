export const CHART_BOX = { width: 420, height: 200, left: 64, bottom: 22, top: 8, right: 8 };

interface AxesProps {
  readonly yHigh: string;
  readonly yLow: string;
  readonly xLow: string;
  readonly xHigh: string;
}

/** What the ends of both axes are. */
export function ChartAxes({ yHigh, yLow, xLow, xHigh }: AxesProps) {
  const { width, height, left, bottom, top, right } = CHART_BOX;
  return (
    <>
      <text className="chart-text" x={left - 6} y={top + 10} textAnchor="end">
        {yHigh}
      </text>
      <text className="chart-text" x={left - 6} y={height - bottom} textAnchor="end">
        {yLow}
      </text>
      <text className="chart-text" x={left} y={height - 6}>
        {xLow}
      </text>
      <text className="chart-text" x={width - right} y={height - 6} textAnchor="end">
        {xHigh}
      </text>
    </>
  );
}
