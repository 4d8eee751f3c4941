import type { AlarmSetup } from '../alarms/alarm-setup.ts';
import type { AlarmState } from '../alarms/alarm-state.ts';
import { stepAlarms, type AlarmInput } from '../alarms/step-alarms.ts';
import type { AlarmMessage, AlarmTransition } from '../contract/alarm-message.ts';
import type { FigureMessage } from '../contract/figure-message.ts';
import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';
import type { HandSample, Lot, Mark, Shift } from '../contract/records.ts';
import { NO_FRAMES_YET, stepFrames, type FramesState, type FrameTiming } from '../line/frames.ts';
import type { LineSetup } from '../line/line-setup.ts';
import { withStale } from './stale-readings.ts';
import { NEW_LINE, stepLine, withPastReadings, type LineInput, type LineState } from '../line/step-line.ts';

export interface PlantSetup {
  readonly timing: FrameTiming;
  readonly lines: readonly LineSetup[];
  readonly alarms: AlarmSetup;
  /** How old a tag's last reading may be; of those that alarms listen to. */
  readonly staleAfterMs: ReadonlyMap<string, number>;
}

export interface PlantState {
  readonly frames: FramesState;
  readonly lines: ReadonlyMap<string, LineState>;
  /** What each line was last worked out from, so that somebody may ask why. */
  readonly inputs: ReadonlyMap<string, LineInput>;
  readonly alarms: AlarmState;
  /** The figures as the last frame left them, by id. */
  readonly figures: ReadonlyMap<string, FigureMessage>;
}

export interface PlantInput {
  /** In order of arrival. */
  readonly arrived: readonly Reading[];
  /** By the plant's clock. */
  readonly nowMs: number;
  readonly lostEndpoints: ReadonlySet<string>;
  readonly lots: readonly Lot[];
  readonly shifts?: readonly Shift[];
  readonly marks?: readonly Mark[];
  readonly samples?: readonly HandSample[];
  /** What people asked of the alarms. */
  readonly orders: NonNullable<AlarmInput['orders']>;
  /** Lot and setting changes. */
  readonly restarts: NonNullable<AlarmInput['restarts']>;
}

export interface PlantStep {
  readonly state: PlantState;
  readonly frames: readonly Frame[];
  readonly late: readonly Reading[];
  /** All figures of each frame, in the order of the frames. */
  readonly figuresOf: readonly (readonly FigureMessage[])[];
  readonly changedAlarms: readonly AlarmMessage[];
  readonly transitions: readonly AlarmTransition[];
  readonly faults: readonly { readonly figure: string; readonly error: unknown }[];
}

export function newPlant(alarms: AlarmState): PlantState {
  return { frames: NO_FRAMES_YET, lines: new Map(), inputs: new Map(), alarms, figures: new Map() };
}

/**
 * One tick of the whole plant: readings to frames, frames to figures, figures to alarms. The same code plays
 * recorded history. What people did counts before the first frame; without a frame it counts at once.
 */
export function stepPlant(setup: PlantSetup, before: PlantState, input: PlantInput): PlantStep {
  const framing = stepFrames(before.frames, input, setup.timing);
  const work = {
    figuresOf: [] as FigureMessage[][],
    transitions: [] as AlarmTransition[],
    faults: [] as PlantStep['faults'][number][],
  };
  const changed = new Map<string, AlarmMessage>();
  let state: PlantState = { ...before, frames: framing.state };
  let { orders, restarts } = input;

  const isAsked = orders.length > 0 || restarts.length > 0;
  const frames = framing.frames.length > 0 || !isAsked ? framing.frames : [standStill(before)];
  for (const frame of frames) {
    const lines = setup.lines.map((line) => {
      const own = inputOf(line.graph.id, frame, input);
      const before = state.lines.get(line.graph.id) ?? NEW_LINE;
      return { line, own, step: stepLine(line, before, own) };
    });
    const figures = lines.flatMap(({ step }) => step.figures);
    work.figuresOf.push(figures);
    work.faults.push(...lines.flatMap(({ step }) => step.faults));
    const byId = new Map(figures.map((figure) => [figure.id, figure]));
    const asked = { acknowledgements: [], orders, restarts };
    const heard = withStale(frame, setup.staleAfterMs);
    const alarms = stepAlarms(setup.alarms, state.alarms, { frame: heard, figures: byId, ...asked });
    [orders, restarts] = [[], []];
    work.transitions.push(...alarms.transitions);
    for (const message of alarms.changed) changed.set(message.id, message);
    state = {
      ...state,
      lines: new Map(lines.map(({ line, step }) => [line.graph.id, step.state])),
      inputs: new Map(lines.map(({ line, own }) => [line.graph.id, own])),
      alarms: alarms.state,
      figures: byId,
    };
  }
  return { state, frames, late: framing.late, ...work, changedAlarms: [...changed.values()] };
}

/** The plant as if these readings of the past had come in time. */
export function withPast(setup: PlantSetup, state: PlantState, readings: readonly Reading[]): PlantState {
  const lines = setup.lines.map((line) => {
    const { id } = line.graph;
    return [id, withPastReadings(line, state.lines.get(id) ?? NEW_LINE, readings)] as const;
  });
  return { ...state, lines: new Map(lines) };
}

/** What concerns one line. */
function inputOf(id: string, frame: Frame, input: PlantInput): LineInput {
  const isOwn = ({ line }: { readonly line: string }) => line === id;
  return {
    frame,
    lostEndpoints: input.lostEndpoints,
    lot: input.lots.find(isOwn) ?? null,
    shift: input.shifts?.find(isOwn) ?? null,
    marks: input.marks?.filter(isOwn) ?? [],
    samples: input.samples?.filter(isOwn) ?? [],
  };
}

/** A frame in which nothing came: the last one's end and the last values. */
function standStill(before: PlantState): Frame {
  return { endMs: before.frames.endMs ?? 0, tickMs: 0, readings: [], latest: before.frames.latest };
}
