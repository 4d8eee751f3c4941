import type { SignalCourse } from '../../../server/contract/machine-standing.ts';
import { useApp } from '../../live/app-context.ts';
import { LoadChart } from './load-chart.tsx';
import { ResidualChart } from './residual-chart.tsx';

interface ChartsProps {
  readonly courses: readonly SignalCourse[];
  readonly line: string;
}

/** Each signal twice: against its load, where a drift shows as a shift of the cloud, and its residual over time. */
export function CourseCharts({ courses, line }: ChartsProps) {
  const words = useApp().texts.machines;
  const known = courses.filter(({ timeMs }) => timeMs.length > 0);
  if (known.length === 0) return <p className="soft">{words.page.noPoints}</p>;
  return (
    <div className="machine-charts">
      {known.map((course) => (
        <section key={course.signal} className="panel machine-part">
          <h2>{words.signalNames[course.signal] ?? course.signal}</h2>
          <div className="machine-pair">
            <LoadChart course={course} line={line} />
            <ResidualChart course={course} line={line} />
          </div>
        </section>
      ))}
    </div>
  );
}
