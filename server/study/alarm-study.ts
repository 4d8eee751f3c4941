import { alarmProblems } from '../alarms/alarm-problems.ts';
import type { PlantConfig } from '../config/plant-config.ts';
import { proposedAlarms, type ProposedAlarms } from '../config/proposed-alarms.ts';
import { REPLAY_MS_MAX, type ReplayAnswer, type ReplayRequest } from '../contract/alarm-replay.ts';
import { Fault } from '../contract/faults.ts';
import type { AlarmStudy } from '../ports/alarm-study.ts';
import type { Clock } from '../ports/clock.ts';
import type { RecordStore } from '../ports/record-store.ts';
import type { SampleStore } from '../ports/sample-store.ts';
import { alarmCatalogue } from './alarm-catalogue.ts';
import { measuresOf } from './alarm-measures.ts';
import { figuresOf } from './figures-of.ts';
import { inTurn } from './in-turn.ts';
import { recordedSubjects } from './recorded-events.ts';
import { playedRules } from './replay-alarms.ts';
import { costOf, replayedIn } from './replay-answer.ts';
import { replayScope } from './replay-scope.ts';
import { shiftMeasuresOf } from './shift-measures.ts';

export interface StudyParts {
  readonly config: PlantConfig;
  readonly samples: SampleStore;
  readonly records: RecordStore;
  readonly clock: Clock;
}

/** One under way and some that wait for it: each plays up to a month. */
const REPLAYS_MAX = 6;

/** What can be asked of the alarms, answered from records and history. */
export function alarmStudy(parts: StudyParts): AlarmStudy {
  const { config, records, clock } = parts;
  const turn = inTurn(REPLAYS_MAX);
  return {
    catalogue: alarmCatalogue(config.alarms, config.lines),
    measures: (range, line) => measuresOf(records, range, line),
    shiftMeasures: (range) => shiftMeasuresOf(records, range, clock.nowMs()),
    replay: async (request, signal) => {
      expectBounded(request);
      const proposed = checkedProposal(config, request.proposal);
      return await turn(() => replayed(parts, { request, proposed }, signal));
    },
  };
}

async function replayed(
  parts: StudyParts,
  { request, proposed }: { readonly request: ReplayRequest; readonly proposed: ProposedAlarms },
  signal: AbortSignal,
): Promise<ReplayAnswer> {
  signal.throwIfAborted();
  const { config, samples, records } = parts;
  const { fromMs, toMs } = request;
  const configurations = [config.alarms, proposed.configuration];
  const scope = replayScope(configurations, proposed.touched);
  const subjects = await recordedSubjects(samples, new Set(scope.subjects));
  const bands = new Map(config.settings.flatMap((settings) => Object.entries(settings.bands)));
  const played = await playedRules(
    {
      samples,
      records,
      graphs: config.lines,
      tickMs: config.tickMs,
      bandOf: (figure) => bands.get(figure) ?? null,
    },
    { fromMs, toMs, scope, subjects, configurations },
    signal,
  );
  const [inForce = [], laid = []] = played.runs.map(({ transitions }) => transitions);
  return {
    fromMs,
    toMs,
    rules: [...scope.rules],
    withoutHistory: scope.subjects.filter((name) => !played.heard.has(name)),
    samples: played.samples,
    cost: costOf(scope.rules, { inForce, proposed: laid }, request),
    inForce: replayedIn(inForce, request),
    proposed: replayedIn(laid, request),
  };
}

function expectBounded({ fromMs, toMs }: ReplayRequest): void {
  const lengthMs = toMs - fromMs;
  if (lengthMs > 0 && lengthMs <= REPLAY_MS_MAX) return;
  throw new Fault('REQUEST_INVALID', {
    subject: 'replayed time [h]',
    got: lengthMs / 3_600_000,
    expected: `> 0 and <= ${REPLAY_MS_MAX / 3_600_000}`,
    remedy: 'ask for a shorter time',
  });
}

/** Throws for what its schema cannot see: names, units, order of limits. */
function checkedProposal(config: PlantConfig, text: string): ProposedAlarms {
  const proposed = proposedAlarms(text, config.alarms);
  const [problem] = alarmProblems(proposed.configuration, {
    tags: new Map(config.tags.map(({ id, unit }) => [id, unit])),
    figures: new Map(figuresOf(config).map(({ id, unit }) => [id, unit])),
    graphs: config.lines,
  });
  if (problem === undefined) return proposed;
  const remedy = problem.remedy.replace(/server not started$/, 'nothing was replayed');
  throw new Fault(problem.code, {
    ...problem,
    subject: `${proposed.placeOf(problem.subject)} ${problem.subject}`,
    remedy,
  });
}
