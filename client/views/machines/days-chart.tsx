import type { MachineStanding } from '../../../server/contract/machine-standing.ts';
import { useApp } from '../../live/app-context.ts';

const WIDTH = 150;
const HEIGHT = 34;
const DAYS = 30;
/** Twice a finding fills the height. */
const MOST = 2;

/** The worst of each of the last 30 days as a share of what is a finding; the line is at 1. */
export function DaysChart({ name, days }: { readonly name: string; readonly days: MachineStanding['days'] }) {
  const words = useApp().texts.machines;
  const step = WIDTH / DAYS;
  const shown = days.slice(-DAYS);
  const y = (share: number) => HEIGHT - (Math.min(MOST, share) / MOST) * HEIGHT;
  return (
    <svg
      className="days-chart"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label={words.daysLabel(name)}
    >
      {shown.map(({ timeMs, worst }, index) => (
        <rect
          key={timeMs}
          className={worst >= 1 ? 'days-bar days-bar-over' : 'days-bar'}
          x={(DAYS - shown.length + index) * step}
          width={step - 1}
          y={y(worst)}
          height={HEIGHT - y(worst)}
        />
      ))}
      <line className="days-line" x1={0} x2={WIDTH} y1={y(1)} y2={y(1)} />
    </svg>
  );
}
