import type { AlarmMeasures } from '../../../server/contract/alarm-measures.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useTimeReader } from '../../live/use-live.ts';
import { ruleNamer } from './rule-name.ts';
import { useCatalogue } from '../../live/use-catalogue.ts';

interface ListProps {
  readonly measures: AlarmMeasures;
}

/** Names a rule by what it watches. */
type NameOf = (rule: string) => string;

/** Which alarms they are that make the numbers what they are. */
export function MeasureLists({ measures }: ListProps) {
  const words = useApp().texts.alarms.measures;
  const nameOf = ruleNamer({ names: useNames(), catalogue: useCatalogue().answer });
  return (
    <div className="measures-lists">
      <Frequent measures={measures} nameOf={nameOf} />
      <Floods measures={measures} />
      <RuleList title={words.lists.chattering} rules={measures.chattering} nameOf={nameOf} />
      <RuleList title={words.lists.fleeting} rules={measures.fleeting} nameOf={nameOf} />
      <RuleList title={words.lists.stale} rules={measures.stale} nameOf={nameOf} />
    </div>
  );
}

function Frequent({ measures, nameOf }: ListProps & { readonly nameOf: NameOf }) {
  const words = useApp().texts.alarms.measures;
  const most = measures.topTen[0]?.count ?? 1;
  if (measures.topTen.length === 0) return null;
  return (
    <section className="measures-list">
      <h3>{words.frequent}</h3>
      <ol>
        {measures.topTen.map(({ alarm, count }) => (
          <li key={alarm} className="measures-bar" style={{ '--share': count / most }}>
            {nameOf(alarm)} <span className="soft">{words.times(count)}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Floods({ measures }: ListProps) {
  const words = useApp().texts.alarms.measures;
  const time = useTimeReader();
  if (measures.floods.length === 0) return null;
  return (
    <section className="measures-list">
      <h3>{words.floods(measures.floods.length)}</h3>
      <ul>
        {measures.floods.map(({ startMs, endMs, count }) => (
          <li key={startMs}>
            {words.flood(
              stampText(startMs, time),
              endMs === null ? words.now : stampText(endMs, time),
              count,
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface RuleListProps {
  readonly title: string;
  readonly rules: readonly string[];
  readonly nameOf: NameOf;
}

function RuleList({ title, rules, nameOf }: RuleListProps) {
  if (rules.length === 0) return null;
  return (
    <section className="measures-list">
      <h3>{title}</h3>
      <ul>
        {rules.map((rule) => (
          <li key={rule}>{nameOf(rule)}</li>
        ))}
      </ul>
    </section>
  );
}
