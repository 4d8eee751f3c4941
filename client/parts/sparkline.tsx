import type { Band } from '../../server/contract/figure-message.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import { sparklinePath } from './sparkline-path.ts';
import './sparkline.css';

const WIDTH = 160;
const HEIGHT = 26;

/** The last half hour of one figure in a few pixels, over its band. The number beside it says the rest. */
export function Sparkline({
  columns,
  band,
}: {
  readonly columns: TrendColumns | undefined;
  readonly band: Band | null;
}) {
  if (columns === undefined) return <svg className="sparkline" aria-hidden="true" />;
  const { path, bandTop, bandBottom } = sparklinePath(columns, band, { width: WIDTH, height: HEIGHT });
  return (
    <svg
      className="sparkline"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      {bandTop !== null && bandBottom !== null && (
        <rect
          className="sparkline-band"
          y={bandTop}
          width={WIDTH}
          height={Math.max(1, bandBottom - bandTop)}
        />
      )}
      <path className="sparkline-line" d={path} />
    </svg>
  );
}
