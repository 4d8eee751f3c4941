import { Fault } from '../contract/faults.ts';
import type { MachineBaseline } from '../contract/machine-records.ts';
import type { MachineSettings } from '../contract/machine-settings.ts';
import type { LearnMachine, MachinePage, MachinesAnswer } from '../contract/machine-standing.ts';
import { WINDOW_MS } from '../machines/learn-machine.ts';
import { watchedMachines, type WatchedMachine } from '../machines/watched-machine.ts';
import type { Clock } from '../ports/clock.ts';
import type { MachineWatch } from '../ports/machine-watch.ts';
import type { Authorship, TimeRange } from '../ports/record-store.ts';
import type { Serviced } from './checks-of.ts';
import { conditionThread, type ConditionThread } from './condition-thread.ts';
import { newsOf, type FindingNews } from './machine-keeper.ts';
import { readStretch, type HistorySource } from './read-stretch.ts';
import type { RecordedStretch } from './recorded-stretch.ts';
import { startUps } from './start-ups.ts';

export interface MachineWatchOptions extends HistorySource {
  readonly settings: MachineSettings;
  readonly clock: Clock;
  readonly log: (text: string) => void;
}

export interface RunningMachineWatch extends MachineWatch {
  stop(): Promise<void>;
}

const LOOK_MS = 60_000;
/** Readings that are under way, held back or waiting for the disk are in the history by then. */
const BEHIND_MS = 120_000;
const DAY_MS = 86_400_000;
/** What is watched again after a restart, and the longest healthy period. */
const BACK_MS_MAX = 30 * DAY_MS;
const HEALTHY_MS_MAX = 60 * DAY_MS;
/** How a machine stands now needs a little of its past, learnt or not. */
const BACK_MS_MIN = 2 * 3_600_000;
const SERVER = { id: 'server', role: 'engineer' } as const;
const ALL_TIME = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

/** Watches the machines of the configuration: reads history window by window, learns and judges in a thread. */
export async function openMachineWatch(options: MachineWatchOptions): Promise<RunningMachineWatch> {
  const machines = watchedMachines(options.settings, (tag) => options.seriesOf(tag) !== undefined);
  const watch = new HistoryWatch(options, machines);
  await watch.begin();
  return watch;
}

class HistoryWatch implements RunningMachineWatch {
  readonly #options: MachineWatchOptions;
  readonly #machines: readonly WatchedMachine[];
  readonly #tags: readonly string[];
  readonly #thread: ConditionThread;
  readonly #stopping = new AbortController();
  /** What was written last of each machine, so that it is not written again when the past is watched anew. */
  readonly #written = new Map<string, Pick<FindingNews, 'timeMs' | 'finding'>>();
  #nextMs = 0;
  #watchedUntilMs: number | null = null;
  readonly #servicedMs = new Map<string, number>();
  #isBusy = false;
  #learning: Promise<unknown> = Promise.resolve();
  #stopLooking: () => void = () => undefined;

  constructor(options: MachineWatchOptions, machines: readonly WatchedMachine[]) {
    this.#options = options;
    this.#machines = machines;
    this.#thread = conditionThread({ settings: options.settings, machines });
    this.#tags = [
      ...new Set(
        machines.flatMap(({ tags, influences, runningTag }) => [
          runningTag,
          ...tags.values(),
          ...influences.values(),
        ]),
      ),
    ];
  }

  async begin(): Promise<void> {
    const nowMs = this.#options.clock.nowMs();
    const newest = await newestBaselines(this.#options);
    for (const baseline of newest) await this.#thread.call('use', baseline);
    for (const entry of await this.#options.records.findings(ALL_TIME))
      this.#written.set(entry.machine, entry);
    const sinceMs = Math.min(nowMs, ...newest.map(({ timeMs }) => timeMs)) - BACK_MS_MIN;
    this.#nextMs = windowStart(Math.max(sinceMs, nowMs - BACK_MS_MAX));
    // Not at once: after a restart the plant first gives back what it kept meanwhile.
    this.#stopLooking = this.#options.clock.every(LOOK_MS, () => void this.#look());
  }

  async standing(): Promise<MachinesAnswer> {
    const { machines, common } = await this.#thread.call('standing', null);
    const causes = this.#options.settings.causes.map(({ cause, name, why, check }) => ({
      cause,
      name,
      why,
      check,
    }));
    return { machines: [...machines], common: [...common], watchedUntilMs: this.#watchedUntilMs, causes };
  }

  async page(machine: string, range: TimeRange): Promise<MachinePage | null> {
    const { records } = this.#options;
    const standing = (await this.standing()).machines.find((own) => own.machine === machine);
    const watched = this.#machines.find(({ plan }) => plan.machine === machine);
    if (standing === undefined || watched === undefined) return null;
    const [courses, baselines, findings, marks] = await Promise.all([
      this.#thread.call('courses', { machine, ...range }),
      records.baselines(ALL_TIME),
      records.findings(range),
      records.marks(range),
    ]);
    const isOwn = (own: { readonly machine: string | null }) => own.machine === machine;
    return {
      standing,
      courses: [...courses],
      startUps: await this.#startUps(watched, range),
      baselines: baselines.filter(isOwn).reverse(),
      entries: findings.filter(isOwn),
      marks: marks.filter(
        ({ line, machine: at }) => line === standing.line && (at === machine || at === standing.partOf),
      ),
    };
  }

  #startUps(watched: WatchedMachine, range: TimeRange): Promise<MachinePage['startUps']> {
    const { samples, seriesOf } = this.#options;
    const running = seriesOf(watched.runningTag);
    const current = seriesOf(watched.tags.get('motor-current') ?? '');
    if (running === undefined || current === undefined) return Promise.resolve([]);
    return startUps(samples, { running, current }, { ...range, signal: this.#stopping.signal });
  }

  /** One after the other: two periods at once would be gathered into one. */
  learn(asked: LearnMachine, by: Authorship): Promise<MachineBaseline> {
    const learning = this.#learning.then(() => this.#learn(asked, by));
    this.#learning = learning.catch(() => undefined);
    return learning;
  }

  async #learn(asked: LearnMachine, by: Authorship): Promise<MachineBaseline> {
    const { line, machine, reason } = asked;
    const [fromMs, toMs] = [windowStart(asked.fromMs), windowStart(Math.min(asked.toMs, by.timeMs))];
    this.#refuseWrong(asked, { fromMs, toMs });
    let isFirst = true;
    for (let startMs = fromMs; startMs < toMs; startMs += DAY_MS) {
      const stretch = await this.#read(startMs, Math.min(toMs, startMs + DAY_MS));
      await this.#thread.call('gather', { stretch, isFirst });
      isFirst = false;
    }
    const signals = [...(await this.#thread.call('learn', { machine }))];
    if (signals.length === 0)
      throw refused(`learn-machine ${machine} running`, 'too little of it', 'six hours on one crop');
    const details = { line, machine, reason, fromMs, toMs, timeMs: by.timeMs, signals };
    const baseline = await this.#options.records.writeBaseline(details, by);
    await this.#thread.call('use', baseline);
    // What was found against the older baseline is over; what is left of it will be found again.
    await this.#write({ machine, timeMs: by.timeMs, what: 'closed', finding: null });
    return baseline;
  }

  #refuseWrong({ line, machine }: LearnMachine, { fromMs, toMs }: TimeRange): void {
    const known = this.#machines.filter((own) => own.line === line).map(({ plan }) => plan.machine);
    if (!known.includes(machine))
      throw refused('learn-machine machine', machine, `one of ${known.join(', ')}`);
    const days = (toMs - fromMs) / DAY_MS;
    const isPeriod = days > 0 && days <= HEALTHY_MS_MAX / DAY_MS;
    if (!isPeriod)
      throw refused(
        'learn-machine period [d]',
        days.toFixed(2),
        `> 0 and <= ${HEALTHY_MS_MAX / DAY_MS}, ended by now`,
      );
  }

  async stop(): Promise<void> {
    this.#stopLooking();
    this.#stopping.abort();
    await this.#thread.close();
  }

  async #look(): Promise<void> {
    if (this.#isBusy) return;
    this.#isBusy = true;
    try {
      await this.#catchUp();
    } catch (error) {
      if (!this.#stopping.signal.aborted) this.#options.log(faultLine(error));
    } finally {
      this.#isBusy = false;
    }
  }

  /** Up to now, at most a day at a time; the last window that is over is the last that is taken. */
  async #catchUp(): Promise<void> {
    const untilMs = windowStart(this.#options.clock.nowMs() - BEHIND_MS);
    while (this.#nextMs < untilMs && !this.#stopping.signal.aborted) {
      const toMs = Math.min(untilMs, this.#nextMs + DAY_MS);
      const news = await this.#thread.call('take', await this.#read(this.#nextMs, toMs));
      for (const item of news) await this.#write(item);
      await this.#tellServices();
      this.#nextMs = toMs;
      this.#watchedUntilMs = toMs;
    }
  }

  /** A mark of a repair at a machine starts its service intervals anew, from what its counters stood at then. */
  async #tellServices(): Promise<void> {
    const repairs = (await this.#options.records.marks(ALL_TIME)).filter(({ kind }) => kind === 'repair');
    for (const machine of this.#machines) {
      const { line, plan } = machine;
      const repair = repairs.findLast((mark) => mark.line === line && mark.machine === plan.machine);
      if (repair === undefined || this.#servicedMs.get(plan.machine) === repair.timeMs) continue;
      const counters = await countersAt(this.#options, machine, repair.timeMs);
      await this.#thread.call('serviced', { machine: plan.machine, counters });
      this.#servicedMs.set(plan.machine, repair.timeMs);
    }
  }

  #read(fromMs: number, toMs: number): Promise<RecordedStretch> {
    return readStretch(this.#options, this.#tags, { fromMs, toMs, signal: this.#stopping.signal });
  }

  async #write({ machine, timeMs, finding }: FindingNews): Promise<void> {
    const line = this.#machines.find(({ plan }) => plan.machine === machine)?.line;
    const written = this.#written.get(machine) ?? { timeMs: 0, finding: null };
    const what = newsOf(written.finding, finding);
    if (line === undefined || what === null || timeMs <= written.timeMs) return;
    const by = { actor: SERVER, timeMs: this.#options.clock.nowMs() };
    await this.#options.records.writeFinding({ line, machine, timeMs, what, finding }, by);
    this.#written.set(machine, { timeMs, finding });
  }
}

async function countersAt(
  { samples, seriesOf }: MachineWatchOptions,
  { tags }: WatchedMachine,
  timeMs: number,
): Promise<Serviced> {
  const seriesNamed = (name: string) => seriesOf(tags.get(name) ?? '');
  const [hours, starts] = [seriesNamed('run-hours'), seriesNamed('starts')];
  const known = [hours, starts].filter((series) => series !== undefined);
  const values = await samples.valuesAt(known, timeMs);
  const at = (series: number | undefined) => values.find((own) => own.series === series)?.value ?? 0;
  return { runHours: at(hours), starts: at(starts) };
}

async function newestBaselines({ records }: MachineWatchOptions): Promise<readonly MachineBaseline[]> {
  const newest = new Map<string, MachineBaseline>();
  for (const baseline of await records.baselines(ALL_TIME)) newest.set(baseline.machine, baseline);
  return [...newest.values()];
}

function windowStart(timeMs: number): number {
  return Math.floor(timeMs / WINDOW_MS) * WINDOW_MS;
}

function refused(subject: string, got: string, expected: string): Fault {
  return new Fault('COMMAND_REFUSED', { subject, got, expected, remedy: 'nothing was learnt' });
}

function faultLine(error: unknown): string {
  const got = error instanceof Error ? error.message : String(error);
  return `CONDITION_FAULT machines: got ${got}, expected a judged window; the machines stand as before, it is tried again in a minute`;
}
