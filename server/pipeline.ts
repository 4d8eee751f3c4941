import { alarmsOfMachine } from './alarms/alarm-setup.ts';
import { orderRefusal } from './alarms/order-refusal.ts';
import type { AlarmMessage, AlarmTransition } from './contract/alarm-message.ts';
import type { FigureDescription, FigureMessage } from './contract/figure-message.ts';
import type { LinkStatus } from './contract/link-status.ts';
import type { Reading } from './contract/reading.ts';
import { STORED_REASON } from './contract/stored-status.ts';
import { AlarmJournal } from './pipeline/alarm-journal.ts';
import type { CommandQueue } from './pipeline/command-queue.ts';
import { FloodWatch } from './pipeline/flood-watch.ts';
import type { FigureDesk } from './pipeline/figure-desk.ts';
import { FigureNews } from './pipeline/figure-news.ts';
import { LineNotes } from './pipeline/line-notes.ts';
import { PastReadings, pastFigures } from './pipeline/past-figures.ts';
import type { Recorder } from './pipeline/recorder.ts';
import { RecordsTrouble } from './pipeline/records-trouble.ts';
import { RunningRecords } from './pipeline/running-records.ts';
import { gapMarker, sampleOfFigure } from './pipeline/sample-of.ts';
import {
  newPlant,
  stepPlant,
  withPast,
  type PlantSetup,
  type PlantState,
  type PlantStep,
} from './pipeline/step-plant.ts';
import type { Broadcaster } from './ports/broadcaster.ts';
import type { Clock } from './ports/clock.ts';
import type { RecordStore } from './ports/record-store.ts';
import type { SeriesId } from './ports/sample-store.ts';
import type { LinkGap, TagSink } from './ports/tag-source.ts';

export interface PipelineParts {
  readonly setup: PlantSetup;
  readonly figures: readonly FigureDescription[];
  /** Lines and crops that a command may name. */
  readonly lines: ReadonlySet<string>;
  readonly crops: ReadonlySet<string>;
  readonly alarms: PlantState['alarms'];
  readonly standing: readonly AlarmMessage[];
  /** What was journalled last, as far back as a flood can look. */
  readonly recentJournal: readonly AlarmTransition[];
  readonly seriesOf: ReadonlyMap<string, SeriesId>;
  /** The shift that runs at an instant, or null where the plant has none. */
  readonly shiftAt: (nowMs: number) => { readonly name: string; readonly startedMs: number } | null;
  readonly commands: CommandQueue;
  readonly figureDesk: FigureDesk;
  readonly clock: Clock;
  readonly recorder: Recorder;
  readonly records: RecordStore;
  readonly broadcaster: Broadcaster;
  readonly log: (text: string) => void;
}

/** So few that a tick stays a tick: half an hour is worked out in under ten seconds. */
const REPLAYED_FRAMES_A_TICK = 60;

/**
 * The house's one clockwork. Readings queue as they come; once a tick they become frames, figures and alarms, are
 * recorded and told to the browsers. Nothing runs between two ticks.
 */
export class Pipeline {
  readonly sink: TagSink;
  readonly #parts: PipelineParts;
  readonly #news: FigureNews;
  readonly #links = new Map<string, LinkStatus>();
  readonly #running: RunningRecords;
  readonly #notes: LineNotes;
  readonly #journal: AlarmJournal;
  readonly #flood: FloodWatch;
  readonly #records: RecordsTrouble;
  readonly #logged = new Set<string>();
  #state: PlantState;
  #arrived: Reading[] = [];
  #changedLinks = new Map<string, LinkStatus>();
  #toldRecording: string | null = null;
  /** Figures of a stretch that was not watched, being worked out a few frames a tick. */
  readonly #past: PastReadings;
  #replays: Generator<readonly FigureMessage[], undefined>[] = [];
  #firstFrameMs: number | null = null;
  /** Alarms that stood when the server stopped: told with the first tick, like a change. */
  #untold: readonly AlarmMessage[];
  #isBusy = false;

  constructor(parts: PipelineParts) {
    this.#parts = parts;
    this.#state = newPlant(parts.alarms);
    this.#news = new FigureNews(parts.figures);
    this.#running = new RunningRecords(parts.records, parts.lines);
    this.#notes = new LineNotes(parts.records);
    this.#journal = new AlarmJournal(parts.records);
    this.#records = new RecordsTrouble(parts.log);
    this.#flood = new FloodWatch(parts.recentJournal);
    this.#untold = parts.standing;
    this.#past = new PastReadings((tag) => parts.setup.lines.some(({ tracked }) => tracked.has(tag)));
    this.sink = {
      readings: (batch) => {
        for (const reading of batch) this.#arrived.push(reading);
      },
      backfill: (batch) => {
        for (const reading of batch) this.#keepReading(reading, STORED_REASON.backfilled);
        this.#past.add(batch, parts.clock.nowMs());
      },
      link: (status) => {
        this.#links.set(status.endpoint, status);
        this.#changedLinks.set(status.endpoint, status);
      },
      gap: (gap) => {
        this.#keepGap(gap);
      },
    };
  }

  /** One tick. A tick that is still at work when the next is due lets that one pass; its readings wait. */
  async tick(): Promise<void> {
    if (this.#isBusy) return;
    this.#isBusy = true;
    try {
      await this.#work();
    } finally {
      this.#isBusy = false;
    }
  }

  async #work(): Promise<void> {
    const nowMs = this.#parts.clock.nowMs();
    await this.#records.failureOf(this.#running.keepShift(this.#parts.shiftAt(nowMs)));
    const commands = await this.#parts.commands.work({
      records: this.#parts.records,
      nowMs,
      plantNowMs: this.#plantNowMs(nowMs),
      refusalOf: (order) => orderRefusal(this.#parts.setup.alarms, this.#state.alarms, order),
      alarmsOf: (line, machine) => alarmsOfMachine(this.#parts.setup.alarms, line, machine),
      isLine: (id) => this.#parts.lines.has(id),
      isCrop: (id) => this.#parts.crops.has(id),
    });
    if (commands.haveLotsChanged) this.#running.outdate();
    await this.#records.failureOf(this.#running.read());
    await this.#records.failureOf(this.#notes.read(nowMs, this.#running.lots));

    const arrived = this.#arrived;
    this.#arrived = [];
    const step = stepPlant(this.#parts.setup, this.#state, {
      arrived,
      nowMs: this.#plantNowMs(nowMs),
      lostEndpoints: this.#lostEndpoints(),
      lots: this.#running.lots,
      shifts: this.#running.shifts,
      marks: this.#notes.marks,
      samples: this.#notes.samples,
      orders: commands.orders,
      restarts: commands.restarts,
    });
    this.#state = step.state;
    this.#parts.figureDesk.take(step.state);
    this.#firstFrameMs ??= step.frames[0]?.endMs ?? null;
    this.#workOnPast(nowMs);
    this.#record(arrived, step);
    this.#flood.take(step.transitions, step.state.frames.endMs ?? nowMs);
    const failure = await this.#records.failureOf(this.#journal.keep(step.transitions, step.changedAlarms));
    await commands.confirm(failure);
    this.#records.endTick();
    this.#tell(nowMs, { arrived, step });
  }

  /** Once the plant's history is in: the figures may look back on it, and those of before the watch are worked out. */
  #workOnPast(nowMs: number): void {
    const readings = this.#past.takeWhenQuiet(nowMs);
    if (readings.length > 0) {
      this.#state = withPast(this.#parts.setup, this.#state, readings);
      this.#planReplays(readings, this.#firstFrameMs ?? nowMs);
    }
    for (let taken = 0; taken < REPLAYED_FRAMES_A_TICK; taken += 1) {
      const figures = this.#replays[0]?.next();
      if (figures?.done !== false) this.#replays.shift();
      else for (const figure of figures.value) this.#keepFigure(figure, STORED_REASON.backfilled);
    }
  }

  #planReplays(readings: readonly Reading[], untilMs: number): void {
    for (const line of this.#parts.setup.lines) {
      const own = readings.filter(({ tag, sourceTimeMs }) => line.tracked.has(tag) && sourceTimeMs < untilMs);
      const lot = this.#running.lots.find((running) => running.line === line.graph.id) ?? null;
      if (own.length > 0) this.#replays.push(pastFigures(line, own, { lot, untilMs }));
    }
  }

  #keepFigure(figure: FigureMessage, reason: number | null = null): void {
    const series = this.#parts.seriesOf.get(figure.id);
    if (series === undefined) return;
    const sample = sampleOfFigure(series, figure);
    this.#parts.recorder.add(reason === null || figure.because !== null ? sample : { ...sample, reason });
  }

  #record(arrived: readonly Reading[], step: PlantStep): void {
    const late = new Set(step.late);
    for (const reading of arrived) {
      this.#keepReading(reading, late.has(reading) ? STORED_REASON.late : STORED_REASON.none);
    }
    for (const figures of step.figuresOf) {
      for (const figure of this.#news.toKeep(figures)) this.#keepFigure(figure);
    }
    for (const { figure, error } of step.faults) this.#logFault(figure, error);
    this.#parts.recorder.flush();
  }

  #tell(nowMs: number, news: { arrived: readonly Reading[]; step: PlantStep }): void {
    const links = [...this.#changedLinks.values()];
    this.#changedLinks = new Map();
    const { status } = this.#parts.recorder;
    const recordingText = JSON.stringify(status);
    const recording = recordingText === this.#toldRecording ? null : status;
    this.#toldRecording = recordingText;
    this.#parts.broadcaster.publish({
      timeMs: nowMs,
      figures: this.#news.toSend(news.step.figuresOf.at(-1) ?? []),
      readings: news.arrived,
      alarms: [...this.#untold, ...news.step.changedAlarms],
      links,
      recording,
      flood: this.#flood.takeNews(),
      ...this.#running.takeNews(),
    });
    this.#untold = [];
  }

  #keepReading(reading: Reading, reason: number): void {
    const series = this.#parts.seriesOf.get(reading.tag);
    if (series !== undefined) this.#parts.recorder.addReading(series, reading, reason);
  }

  #keepGap(gap: LinkGap): void {
    for (const tag of gap.tags) {
      const series = this.#parts.seriesOf.get(tag);
      if (series !== undefined) this.#parts.recorder.add(gapMarker(series, gap.fromMs));
    }
  }

  /** The slowest plant clock sets the pace: a frame must not end before its readings can have come. */
  #plantNowMs(nowMs: number): number {
    const offsets = [...this.#links.values()].map(({ clockOffsetMs }) => clockOffsetMs ?? 0);
    return nowMs + Math.min(...(offsets.length === 0 ? [0] : offsets));
  }

  #lostEndpoints(): ReadonlySet<string> {
    const lost = [...this.#links.values()].filter(({ state }) => state !== 'live');
    return new Set(lost.map(({ endpoint }) => endpoint));
  }

  #logFault(figure: string, error: unknown): void {
    const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
    this.#logOnce(
      figure,
      `FIGURE_FAULT ${figure}: got ${text}, expected a figure; it is unknown, the others go on`,
    );
  }

  #logOnce(key: string, text: string): void {
    if (this.#logged.has(key)) return;
    this.#logged.add(key);
    this.#parts.log(text);
  }
}
