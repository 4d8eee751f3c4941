import { Link, useParams } from 'wouter';
import type { BalanceReport } from '../../../server/contract/balance-report.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import type { Reader } from '../../../server/contract/format/quantity-text.ts';
import { clockText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchBalances } from '../../live/plant-api.ts';
import { useAnswerEvery } from '../../live/use-answer-every.ts';
import { useNames, useReader, useTimeReader } from '../../live/use-live.ts';
import { BalancedStreams } from './balanced-streams.tsx';
import { LagTable } from './lag-table.tsx';
import '../figure/figure-view.css';

/** The balance is worked out anew once a minute. */
const EVERY_MS = 15_000;

/** Whether what goes in comes out, which scale does not fit, and how long the seed takes. */
export function BalanceView() {
  const { texts, plant } = useApp();
  const words = texts.figures.balance;
  const { line: id } = useParams<{ line: string }>();
  const line = plant.lines.find((one) => one.id === id);
  const { answer, state } = useAnswerEvery(fetchBalances, EVERY_MS);
  if (line === undefined) return <p className="shell-lost">{texts.notFound}</p>;
  const report = answer?.find((one) => one.line === line.id);
  return (
    <article className="balance-view" aria-labelledby="balance-title">
      <p className="figure-ways">
        <Link href="/">{texts.figures.back}</Link>
      </p>
      <h1 id="balance-title">{words.title(line.name)}</h1>
      {state === 'failed' && <p role="alert">{words.failed}</p>}
      {answer !== null && report === undefined && <p className="soft">{words.none}</p>}
      {report !== undefined && <Report report={report} />}
      <LagTable line={line.id} />
    </article>
  );
}

function Report({ report }: { readonly report: BalanceReport }) {
  const words = useApp().texts.figures.balance;
  const time = useTimeReader();
  const reader = useReader(report.line);
  const { closureRatio, sinceMs } = report;
  return (
    <>
      <section className="panel figure-part" data-verdict={report.verdict}>
        <p className="balance-verdict">{words.verdicts[report.verdict]}</p>
        {report.suspects.map((suspect) => (
          <Suspect key={suspect.tag} suspect={suspect} reader={reader} />
        ))}
        <p className="soft">
          {[
            sinceMs === null ? '' : words.since(clockText(sinceMs, time)),
            words.over(clockText(report.fromMs, time), clockText(report.toMs, time)),
            closureRatio === null ? '' : words.closes(percent(closureRatio, reader)),
          ]
            .filter(Boolean)
            .join(' ')}
        </p>
      </section>
      {report.streams.length > 0 && (
        <>
          <BalancedStreams report={report} />
          <p className="soft">{words.note}</p>
        </>
      )}
    </>
  );
}

interface SuspectProps {
  readonly suspect: BalanceReport['suspects'][number];
  readonly reader: Reader;
}

function Suspect({ suspect, reader }: SuspectProps) {
  const words = useApp().texts.figures.balance;
  const names = useNames();
  const { tag, errorRatio, errorRatioUncertainty } = suspect;
  const say = errorRatio > 0 ? words.high : words.low;
  const sure = percent(errorRatioUncertainty, reader);
  return <p>{words.suspect(names.subject(tag), say(percent(Math.abs(errorRatio), reader)), sure)}</p>;
}

function percent(ratio: number, reader: Reader): string {
  return `${numberText(ratio * 100, 1, reader.words.decimalMark)} %`;
}
