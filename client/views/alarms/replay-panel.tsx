import { useRef, useState } from 'react';
import type { AlarmCatalogue } from '../../../server/contract/alarm-catalogue.ts';
import type { ReplayAnswer } from '../../../server/contract/alarm-replay.ts';
import { useApp } from '../../live/app-context.ts';
import { RefusedError, replayRules } from '../../live/plant-api.ts';
import { useNames } from '../../live/use-live.ts';
import { RangeChoice } from '../../parts/range-choice.tsx';
import { ReplayResult } from './replay-result.tsx';
import { ruleNamer } from './rule-name.ts';
import { proposalFor } from './rule-yaml.ts';
import { useCatalogue } from '../../live/use-catalogue.ts';

const HOUR_MS = 3_600_000;
const RANGES = { hour2: 2, hour8: 8, day: 24, week: 168 } as const;
const NAMES = ['hour2', 'hour8', 'day', 'week'] as const;
type Range = (typeof NAMES)[number];

/** Tries a changed rule on what was recorded, before anybody has to live with it. */
export function ReplayPanel() {
  const { texts } = useApp();
  const words = texts.alarms.replay;
  const { answer: catalogue } = useCatalogue();
  if (catalogue === null) return null;
  const [first] = catalogue.rules;
  if (first === undefined) return <p className="alarms-note">{words.noRules}</p>;
  return <ReplayForm catalogue={catalogue} firstRule={first.id} />;
}

interface FormProps {
  readonly catalogue: AlarmCatalogue;
  readonly firstRule: string;
}

function ReplayForm({ catalogue, firstRule }: FormProps) {
  const { texts } = useApp();
  const words = texts.alarms.replay;
  const [rule, setRule] = useState(firstRule);
  const [range, setRange] = useState<Range>('hour8');
  const [proposal, setProposal] = useState(() => proposalOf(catalogue, firstRule));
  const replay = useReplay();
  const choose = (id: string) => {
    setRule(id);
    setProposal(proposalOf(catalogue, id));
  };
  return (
    <section className="replay" aria-label={texts.alarms.tabs.replay}>
      <p className="soft">{words.about}</p>
      <div className="replay-tools">
        <RuleChoice catalogue={catalogue} rule={rule} onChoose={choose} />
        <RangeChoice
          label={words.over}
          names={NAMES}
          texts={words.ranges}
          range={range}
          onChoose={setRange}
        />
      </div>
      <label className="dialog-field">
        {words.proposal}
        <textarea
          className="input replay-text"
          value={proposal}
          rows={Math.min(16, proposal.split('\n').length + 1)}
          spellCheck={false}
          onChange={(event) => setProposal(event.target.value)}
        />
      </label>
      <p>
        <button
          type="button"
          className="button"
          disabled={replay.isRunning || proposal.trim() === ''}
          onClick={() => replay.run(RANGES[range] * HOUR_MS, proposal)}
        >
          {replay.isRunning ? words.running : words.run}
        </button>
      </p>
      {replay.problem !== '' && <p role="alert">{replay.problem}</p>}
      {replay.answer !== null && <ReplayResult answer={replay.answer} catalogue={catalogue} />}
    </section>
  );
}

function useReplay() {
  const { texts, clock } = useApp();
  const [answer, setAnswer] = useState<ReplayAnswer | null>(null);
  const [problem, setProblem] = useState('');
  const [isRunning, setRunning] = useState(false);
  const asking = useRef(new AbortController());
  const run = (spanMs: number, proposal: string) => {
    asking.current.abort();
    asking.current = new AbortController();
    const { signal } = asking.current;
    const toMs = clock.nowMs();
    setRunning(true);
    setProblem('');
    replayRules({ fromMs: toMs - spanMs, toMs, proposal }, signal)
      .then(setAnswer, (error: unknown) => {
        if (signal.aborted) return;
        setAnswer(null);
        setProblem(error instanceof RefusedError ? error.message : texts.alarms.replay.failed);
      })
      .finally(() => setRunning(false));
  };
  return { answer, problem, isRunning, run };
}

interface RuleChoiceProps {
  readonly catalogue: AlarmCatalogue;
  readonly rule: string;
  readonly onChoose: (rule: string) => void;
}

function RuleChoice({ catalogue, rule, onChoose }: RuleChoiceProps) {
  const words = useApp().texts.alarms.replay;
  const nameOf = ruleNamer({ names: useNames(), catalogue });
  const named = catalogue.rules.map(({ id }) => ({ id, name: nameOf(id) }));
  return (
    <label>
      {words.rule}{' '}
      <select className="input" value={rule} onChange={(event) => onChoose(event.target.value)}>
        {named
          .toSorted((one, other) => one.name.localeCompare(other.name))
          .map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
      </select>
    </label>
  );
}

function proposalOf(catalogue: AlarmCatalogue, id: string): string {
  const found = catalogue.rules.find((rule) => rule.id === id);
  return found === undefined ? '' : proposalFor(found.rule);
}
