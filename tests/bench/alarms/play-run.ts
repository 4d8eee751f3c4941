import { alarmSetup, type AlarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart } from '#server/alarms/alarm-state.ts';
import { annunciationsIn } from '#server/alarms/annunciations.ts';
import { stepAlarms } from '#server/alarms/step-alarms.ts';
import type { AlarmTransition } from '#server/contract/alarm-message.ts';
import type { AlarmConfiguration } from '#server/contract/alarm-rule.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import type { PlantStep } from '#server/pipeline/step-plant.ts';
import { CHART_USES, ChartStudy, driftRules, type ChartCount, type ChartUse } from './chart-study.ts';
import { ExtremeWatch } from './extremes.ts';
import { onDelayS, watchedNumbers, type Extremes, type OnDelays } from './fixed-limits.ts';
import { watchedPlant, WATCH_START_MS, type Watch } from './watched-plant.ts';

/** An alarm that asked for somebody, and when after the watch began. */
export interface Annunciation {
  readonly alarm: string;
  readonly subject: string;
  readonly timeS: number;
}

export type FixedConfigurations = Readonly<Record<OnDelays, AlarmConfiguration>>;

export interface RunJob {
  readonly watch: Watch;
  /** The same plant with fixed limits beside ours; null while these are being tuned. */
  readonly fixed: FixedConfigurations | null;
  /** What is wanted of a run in which nothing is wrong. */
  readonly wants: 'extremes' | 'charts' | 'annunciations';
}

export interface RunResult {
  readonly ours: readonly Annunciation[];
  readonly fixed: Readonly<Record<OnDelays, readonly Annunciation[]>> | null;
  readonly extremes: Readonly<Record<OnDelays, readonly (readonly [subject: string, Extremes])[]>> | null;
  readonly charts: Readonly<Record<ChartUse, ChartCount>> | null;
}

interface Observer {
  take(step: PlantStep): void;
}

/** Plays one run; every observer sees the same frames and figures. */
export function playRun(config: PlantConfig, { watch, fixed, wants }: RunJob): RunResult {
  const ours: AlarmTransition[] = [];
  const rivals =
    fixed === null
      ? null
      : { starting: rivalOf(config, fixed['starting-values']), none: rivalOf(config, fixed.none) };
  const extremes =
    wants === 'extremes'
      ? { starting: extremesOf(config, 'starting-values'), none: extremesOf(config, 'none') }
      : null;
  const charts = wants === 'charts' ? CHART_USES.map((use) => studiesOf(config, use)) : [];
  const observers: readonly Observer[] = [
    ...Object.values(rivals ?? {}),
    ...Object.values(extremes ?? {}).flatMap((watches) => [...watches.values()]),
    ...charts.flat(),
  ];
  for (const step of watchedPlant(config, alarmSetup(config.alarms, config.lines), watch)) {
    ours.push(...step.transitions);
    for (const observer of observers) observer.take(step);
  }
  return {
    ours: told(ours),
    fixed: rivals === null ? null : { 'starting-values': rivals.starting.told, none: rivals.none.told },
    extremes:
      extremes === null
        ? null
        : { 'starting-values': seenBy(extremes.starting), none: seenBy(extremes.none) },
    charts: chartCounts(charts),
  };
}

function rivalOf(config: PlantConfig, fixed: AlarmConfiguration): Rival {
  return new Rival(alarmSetup(fixed, config.lines));
}

function extremesOf({ alarms }: PlantConfig, delays: OnDelays): ReadonlyMap<string, ExtremeWatch> {
  const numbers = watchedNumbers(alarms);
  return new Map(
    numbers.map((number) => [number.subject, new ExtremeWatch(number.subject, onDelayS(number, delays))]),
  );
}

function seenBy(watches: ReadonlyMap<string, ExtremeWatch>): readonly (readonly [string, Extremes])[] {
  return [...watches].map(([subject, { extremes }]) => [subject, extremes]);
}

function chartCounts(charts: readonly (readonly ChartStudy[])[]): RunResult['charts'] {
  const [textbook, widened, asRuled] = charts.map(summed);
  if (textbook === undefined || widened === undefined || asRuled === undefined) return null;
  return {
    'textbook-every-second': textbook,
    'widened-every-second': widened,
    'as-in-the-rules': asRuled,
  };
}

/** Other rules on the same frames and figures, through the same alarm step. */
class Rival {
  readonly #setup: AlarmSetup;
  readonly #transitions: AlarmTransition[] = [];
  #state;

  constructor(setup: AlarmSetup) {
    this.#setup = setup;
    this.#state = alarmStateAtStart(setup);
  }

  take({ frames, figuresOf }: PlantStep): void {
    frames.forEach((frame, at) => {
      const figures = new Map((figuresOf[at] ?? []).map((figure) => [figure.id, figure]));
      const step = stepAlarms(this.#setup, this.#state, { frame, figures, acknowledgements: [] });
      this.#state = step.state;
      this.#transitions.push(...step.transitions);
    });
  }

  get told(): readonly Annunciation[] {
    return told(this.#transitions);
  }
}

function told(transitions: readonly AlarmTransition[]): readonly Annunciation[] {
  return annunciationsIn(transitions).map(({ alarm, subject, timeMs }) => ({
    alarm,
    subject,
    timeS: (timeMs - WATCH_START_MS) / 1000,
  }));
}

function studiesOf({ alarms }: PlantConfig, use: ChartUse): readonly ChartStudy[] {
  return driftRules(alarms.rules).map((rule) => new ChartStudy(rule, use));
}

function summed(studies: readonly ChartStudy[]): ChartCount {
  const counts = studies.map(({ count }) => count);
  return {
    samples: counts.reduce((sum, { samples }) => sum + samples, 0),
    signals: counts.reduce((sum, { signals }) => sum + signals, 0),
  };
}
