import { useCallback, useState } from 'react';
import { Link, useParams } from 'wouter';
import type { MachinePage } from '../../../server/contract/machine-standing.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchMachinePage, fetchMachines } from '../../live/plant-api.ts';
import { useAnswer } from '../../live/use-answer.ts';
import { RangeChoice } from '../../parts/range-choice.tsx';
import { CourseCharts } from './course-charts.tsx';
import { LearnButton } from './learn-button.tsx';
import { MachineChecks } from './machine-checks.tsx';
import { MachineFinding } from './machine-finding.tsx';
import { MachinePast } from './machine-past.tsx';
import { SignalTable } from './signal-table.tsx';
import './machines-view.css';

const DAY_MS = 86_400_000;
const RANGES = { week: 7, month: 30, quarter: 90 } as const;
const NAMES = ['week', 'month', 'quarter'] as const;
type Range = (typeof NAMES)[number];

/** One machine: what was found, each signal against its load and over time, its starts, notes and what is normal. */
export function MachineView() {
  const { texts, clock } = useApp();
  const words = texts.machines;
  const { machine } = useParams<{ machine: string }>();
  const [range, setRange] = useState<Range>('week');
  const ask = useCallback(
    (signal: AbortSignal) => {
      const toMs = clock.nowMs();
      return fetchMachinePage(machine, { fromMs: toMs - RANGES[range] * DAY_MS, toMs }, signal);
    },
    [clock, machine, range],
  );
  const { answer, state } = useAnswer<MachinePage>(ask);
  return (
    <article className="machines-view" aria-labelledby="machine-title">
      <div className="machines-head">
        <Link href="/machines">{words.page.back}</Link>
        <RangeChoice
          label={words.page.range}
          names={NAMES}
          texts={words.page.ranges}
          range={range}
          onChoose={setRange}
        />
      </div>
      <h1 id="machine-title">{answer?.standing.name ?? machine}</h1>
      {state === 'failed' && <p role="alert">{words.page.unknown}</p>}
      {answer === null && state === 'asking' && <p className="soft">{words.loading}</p>}
      {answer !== null && <Page page={answer} />}
    </article>
  );
}

function Page({ page }: { readonly page: MachinePage }) {
  const words = useApp().texts.machines;
  const { answer } = useAnswer(fetchMachines);
  const { standing } = page;
  return (
    <>
      <div className="machines-head">
        <p className="soft">{words.regime[standing.regime]}</p>
        <LearnButton standing={standing} />
      </div>
      <MachineFinding standing={standing} causes={answer?.causes ?? []} />
      <SignalTable standing={standing} />
      <CourseCharts courses={page.courses} line={standing.line} />
      <MachineChecks standing={standing} />
      <MachinePast page={page} />
    </>
  );
}
