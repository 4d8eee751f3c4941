import type { AlarmCatalogue } from '../../../server/contract/alarm-catalogue.ts';
import type { ReplayAnswer } from '../../../server/contract/alarm-replay.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useTimeReader } from '../../live/use-live.ts';
import { ruleNamer } from './rule-name.ts';

interface ResultProps {
  readonly answer: ReplayAnswer;
  readonly catalogue: AlarmCatalogue;
}

/** What the rules would have asked for, as they are and as proposed, side by side. */
export function ReplayResult({ answer, catalogue }: ResultProps) {
  const { texts } = useApp();
  const words = texts.alarms.replay;
  const names = useNames();
  const { inForce, proposed, withoutHistory } = answer;
  const missing = withoutHistory.map((id) => names.subject(id)).join(', ');
  return (
    <div className="replay-result" role="status">
      <p className="number">{words.cost(inForce.annunciations, proposed.annunciations)}</p>
      <p>{words.most(inForce.tenMinutesMax, proposed.tenMinutesMax)}</p>
      {missing !== '' && <p>{words.withoutHistory(missing)}</p>}
      {inForce.annunciations + proposed.annunciations === 0 ? (
        <p className="soft">{words.neither}</p>
      ) : (
        <div className="replay-sides">
          <Side title={words.asIs} side={inForce} catalogue={catalogue} />
          <Side title={words.asProposed} side={proposed} catalogue={catalogue} />
        </div>
      )}
    </div>
  );
}

interface SideProps {
  readonly title: string;
  readonly side: ReplayAnswer['proposed'];
  readonly catalogue: AlarmCatalogue;
}

function Side({ title, side, catalogue }: SideProps) {
  const words = useApp().texts.alarms.replay;
  const nameOf = ruleNamer({ names: useNames(), catalogue });
  const time = useTimeReader();
  return (
    <section>
      <h3>{title}</h3>
      <ol className="replay-list">
        {side.occurrences.map(({ alarm, annunciation, clearedMs }) => (
          <li key={`${alarm} ${annunciation.timeMs}`}>
            <span className="number">
              {clearedMs === null
                ? words.still(stampText(annunciation.timeMs, time))
                : words.until(stampText(annunciation.timeMs, time), stampText(clearedMs, time))}
            </span>{' '}
            {nameOf(alarm)}
          </li>
        ))}
      </ol>
      {side.isCut && <p className="soft">{words.cut}</p>}
    </section>
  );
}
