import type { MachinesAnswer, MachineStanding } from '../../../server/contract/machine-standing.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNow, useReader, useTimeReader } from '../../live/use-live.ts';
import { deviationLevelText } from './deviation-text.ts';
import { dueText } from './due-text.ts';

interface FindingProps {
  readonly standing: MachineStanding;
  readonly causes: MachinesAnswer['causes'];
}

/** What deviates, since when, how fast, and what may be behind it with the reasons. */
export function MachineFinding({ standing, causes }: FindingProps) {
  const words = useApp().texts.machines;
  const { finding } = standing;
  if (finding === null) {
    return <p className="soft">{standing.baseline === null ? words.notLearnt : words.asLearnt}</p>;
  }
  return (
    <section className="panel machine-part">
      <h2>{words.page.findings}</h2>
      <ul>
        {finding.deviations.map((deviation) => (
          <DeviationLine key={deviation.signal} deviation={deviation} standing={standing} />
        ))}
      </ul>
      {finding.causes.length === 0 && <p>{words.noCause}</p>}
      {finding.causes.map((found) => (
        <CauseText key={found.cause} found={found} causes={causes} />
      ))}
    </section>
  );
}

type Finding = NonNullable<MachineStanding['finding']>;

function DeviationLine(props: {
  readonly deviation: Finding['deviations'][number];
  readonly standing: MachineStanding;
}) {
  const { deviation, standing } = props;
  const words = useApp().texts.machines;
  const time = useTimeReader();
  const now = useNow();
  const reader = useReader(standing.line);
  const unit = standing.signals.find(({ signal }) => signal === deviation.signal)?.unit ?? '1';
  const amount = (level: number) => deviationLevelText(level, { residual: deviation.residual, unit }, reader);
  const { slopePerDay: slope } = deviation;
  const facts = [
    words.since(stampText(deviation.sinceMs, time)),
    words.course[deviation.course],
    slope === null ? words.noSlope : words.slope(amount(slope.middle), amount(slope.low), amount(slope.high)),
    dueText(deviation.due, now, words),
  ];
  return (
    <li>
      <b>
        {words.deviates(words.signalNames[deviation.signal] ?? deviation.signal, amount(deviation.level))}
      </b>{' '}
      <span className="soft">{facts.filter(Boolean).join(' · ')}</span>
    </li>
  );
}

function CauseText(props: {
  readonly found: Finding['causes'][number];
  readonly causes: MachinesAnswer['causes'];
}) {
  const { found, causes } = props;
  const words = useApp().texts.machines;
  const about = causes.find(({ cause }) => cause === found.cause);
  const evidence = found.evidence.map((one) => evidenceText(one, words)).join(', ');
  return (
    <div className="machine-cause">
      <h3>{words[found.certainty](about?.name ?? found.cause)}</h3>
      {about !== undefined && (
        <p>
          {words.page.why}: {about.why} {words.page.check}: {about.check}
        </p>
      )}
      <p className="soft">{words.page.evidence(evidence)}</p>
    </div>
  );
}

interface EvidenceWords {
  readonly signalNames: Readonly<Record<string, string>>;
  readonly high: string;
  readonly low: string;
}

/** "vibration-high" in words. */
function evidenceText(evidence: string, words: EvidenceWords): string {
  const at = evidence.lastIndexOf('-');
  const signal = evidence.slice(0, at);
  const direction = evidence.slice(at + 1);
  const said = direction === 'high' ? words.high : direction === 'low' ? words.low : direction;
  return `${(words.signalNames[signal] ?? signal).toLowerCase()} ${said}`;
}
