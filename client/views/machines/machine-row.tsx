import { Link } from 'wouter';
import type { MachinesAnswer, MachineStanding } from '../../../server/contract/machine-standing.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNow, useReader, useTimeReader } from '../../live/use-live.ts';
import { DaysChart } from './days-chart.tsx';
import { deviationLevelText } from './deviation-text.ts';
import { dueText } from './due-text.ts';

interface MachineProps {
  readonly machine: MachineStanding;
  readonly causes: MachinesAnswer['causes'];
}

/** One machine in a line: how it is, what was found, when it is due, and its month. */
export function MachineRow({ machine, causes }: MachineProps) {
  const { texts } = useApp();
  const words = texts.machines;
  const now = useNow();
  const { finding } = machine;
  const due = dueText(finding?.due ?? null, now, words);
  return (
    <li className="machine-row" data-machine={machine.machine} data-finding={finding !== null || undefined}>
      <div>
        <h2>
          <Link href={`/machines/${machine.machine}`}>{machine.name}</Link>
        </h2>
        <p className="soft">{words.regime[machine.regime]}</p>
      </div>
      <div>
        <FindingText machine={machine} causes={causes} />
        <ChecksText machine={machine} />
      </div>
      <p className="machine-due">{due}</p>
      <DaysChart name={machine.name} days={machine.days} />
    </li>
  );
}

function FindingText({ machine, causes }: MachineProps) {
  const { texts } = useApp();
  const words = texts.machines;
  const time = useTimeReader();
  const reader = useReader(machine.line);
  const { finding, baseline, signals } = machine;
  if (finding === null) return <p className="soft">{baseline === null ? words.notLearnt : words.asLearnt}</p>;
  const [first] = finding.causes;
  const name = causes.find(({ cause }) => cause === first?.cause)?.name ?? first?.cause;
  const deviations = finding.deviations.map((deviation) => {
    const unit = signals.find(({ signal }) => signal === deviation.signal)?.unit ?? '1';
    const level = deviationLevelText(deviation.level, { residual: deviation.residual, unit }, reader);
    return words.deviates(words.signalNames[deviation.signal] ?? deviation.signal, level);
  });
  return (
    <>
      <p className="machine-finding">
        {first === undefined || name === undefined ? words.noCause : words[first.certainty](name)}
      </p>
      <p>
        {deviations.join(' · ')} <span className="soft">{words.since(stampText(finding.sinceMs, time))}</span>
      </p>
    </>
  );
}

function ChecksText({ machine }: { readonly machine: MachineStanding }) {
  const words = useApp().texts.machines;
  const count = (verdict: string) => machine.checks.filter((check) => check.verdict === verdict).length;
  const text = words.checks(count('watch'), count('act'));
  return text === '' ? null : <p>{text}</p>;
}
