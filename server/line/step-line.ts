import type { BalanceReport } from '../contract/balance-report.ts';
import type { FigureMessage } from '../contract/figure-message.ts';
import type { FigureProvenance, ProvenanceInput } from '../contract/figure-provenance.ts';
import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';
import type { HandSample, Lot, Mark, Shift } from '../contract/records.ts';
import { AnchorBook, NO_ANCHORS, reanchored, type Anchors } from './anchors.ts';
import { binWaysThrough } from './bin-ways.ts';
import { withDose, type DoseSpread } from './dose-spread.ts';
import { doseOf } from './dose-figures.ts';
import { unknownEstimate, type Estimate } from './estimate.ts';
import { figureMessage } from './figure-message.ts';
import type { FigurePlan } from './figure-plans.ts';
import type { FlowTrack } from './flow-track.ts';
import { NO_LAGS_YET, stepLagWatch, type LagWatch } from './lag-watch.ts';
import { isLost, waysThrough, type LineContext } from './line-context.ts';
import type { LineSetup } from './line-setup.ts';
import { NO_BALANCE, stepBalance, type BalanceState } from './step-balance.ts';
import type { TankTrack } from './tank-track.ts';
import { tanksWith, tracksWith, withPastTracks } from './tracks.ts';

export interface LineState {
  readonly tracks: ReadonlyMap<string, FlowTrack>;
  readonly tanks: ReadonlyMap<string, TankTrack>;
  readonly anchors: Anchors;
  readonly balance: BalanceState;
  readonly lags: LagWatch;
  readonly doseSpread: DoseSpread | null;
  /** All figures as the last tick left them, in the order of the plans; null before the first. */
  readonly last: LastFigures | null;
}

interface LastFigures {
  readonly endMs: number;
  /** What they depend on beside readings. */
  readonly key: string;
  readonly figures: readonly FigureMessage[];
}

export interface LineInput {
  readonly frame: Frame;
  readonly lostEndpoints: ReadonlySet<string>;
  /** The lot that runs on this line, or null. */
  readonly lot: Lot | null;
  readonly shift?: Shift | null;
  /** What people noted since the lot began; "last seed past here" among them. */
  readonly marks?: readonly Mark[];
  readonly samples?: readonly HandSample[];
}

export interface LineStep {
  readonly state: LineState;
  readonly figures: readonly FigureMessage[];
  /** The balance of this line when it is a new one; null in between. */
  readonly balance: BalanceReport | null;
  /** Computations that threw: bugs, for the log. Their figures are unknown, the others stand. */
  readonly faults: readonly { readonly figure: string; readonly error: unknown }[];
}

export const NEW_LINE: LineState = {
  tracks: new Map(),
  tanks: new Map(),
  anchors: NO_ANCHORS,
  balance: NO_BALANCE,
  lags: NO_LAGS_YET,
  doseSpread: null,
  last: null,
};

const SLOW_EVERY_MS = 1000;
/** Any step that has no common part with the tick would do. */
const PHASE_MS = 130;

/** One tick of one line: its readings become figures, each known or unknown because. */
export function stepLine(setup: LineSetup, before: LineState, input: LineInput): LineStep {
  const work = new LineWork(setup, before, input);
  const balance = work.guarded('balance', () => stepBalance(before.balance, work.context), before.balance);
  const after = { ...work.context, balance: balance.report };
  const doseSpread = work.guarded('dose-variation', () => spreadOf(before, after), before.doseSpread);
  const context = { ...after, doseSpread };
  const key = notesKey(input);
  const { endMs } = input.frame;
  const last = before.last?.key === key ? before.last : null;
  const figures = setup.plans.map((plan, index) => {
    const isKept = last !== null && plan.isSlow && !isDue(index, last.endMs, endMs);
    return (isKept ? last.figures[index] : undefined) ?? work.figureOf(context, plan);
  });
  return {
    state: {
      tracks: context.tracks,
      tanks: context.tanks,
      anchors: context.anchors.kept(isNamedBy(input)),
      balance,
      lags: work.guarded('lags', () => stepLagWatch(before.lags, work.context), before.lags),
      doseSpread,
      last: { endMs, key, figures },
    },
    figures,
    balance: balance === before.balance ? null : balance.report,
    faults: work.faults,
  };
}

/**
 * Figures of minutes and more are worked out once a second, each at its own moment, so that no tick has them all. When
 * somebody starts a lot or enters a sample they are worked out at once.
 */
function isDue(index: number, lastMs: number, endMs: number): boolean {
  const phaseMs = (index * PHASE_MS) % SLOW_EVERY_MS;
  return Math.floor((endMs + phaseMs) / SLOW_EVERY_MS) !== Math.floor((lastMs + phaseMs) / SLOW_EVERY_MS);
}

/** Why one figure is what it is, as of the tick that the state comes from; null for a figure that the line lacks. */
export function explainedFigure(
  setup: LineSetup,
  at: { readonly state: LineState; readonly input: LineInput },
  id: string,
): FigureProvenance | null {
  const plan = setup.plans.find(({ description }) => description.id === id);
  if (plan === undefined) return null;
  const inputs: ProvenanceInput[] = [];
  const nothingNew = { ...at.input, frame: { ...at.input.frame, readings: [] } };
  const work = new LineWork(setup, at.state, nothingNew);
  const context: LineContext = {
    ...work.context,
    balance: at.state.balance.report,
    doseSpread: at.state.doseSpread,
    trace: (input) => inputs.push(input),
  };
  const estimate = work.estimateOf(context, plan);
  const causes = estimate.known ? (estimate.causes ?? []) : [];
  return {
    description: plan.description,
    figure: figureMessage(context, plan, estimate),
    formula: plan.formula,
    inputs,
    causes: causes
      .map(({ cause, half }) => ({ cause, uncertainty: Math.abs(half) }))
      .toSorted((a, b) => b.uncertainty - a.uncertainty),
  };
}

/** The line as if these readings of the past had come in time: what looks back through the line finds them. */
export function withPastReadings(
  setup: LineSetup,
  state: LineState,
  readings: readonly Reading[],
): LineState {
  const tracks = withPastTracks(setup, state.tracks, readings);
  return { ...state, tracks, anchors: reanchored(state.anchors, tracks), last: null };
}

/** One tick at work: what it may ask, and what went wrong in it. */
class LineWork {
  readonly context: LineContext;
  readonly faults: { figure: string; error: unknown }[] = [];
  readonly #line: string;

  constructor(setup: LineSetup, before: LineState, input: LineInput) {
    const { frame, lostEndpoints, lot, shift = null, marks = [], samples = [] } = input;
    const crop = cropOf(setup, lot);
    this.#line = setup.graph.id;
    this.context = {
      setup,
      frame,
      tracks: tracksWith(setup, before.tracks, frame),
      tanks: tanksWith(setup, before.tanks, frame),
      anchors: new AnchorBook(before.anchors),
      lostEndpoints,
      bushelMassKg: crop.bushelMassKg,
      prices: crop.prices ?? null,
      lot,
      shift,
      marks,
      samples,
      ways: waysThrough({ setup, frame }),
      binWays: binWaysThrough({ setup, frame }),
      doseSpread: null,
      balance: null,
      amounts: new Map(),
      trace: null,
    };
  }

  figureOf(context: LineContext, plan: FigurePlan): FigureMessage {
    return figureMessage(context, plan, this.estimateOf(context, plan));
  }

  estimateOf(context: LineContext, plan: FigurePlan): Estimate {
    // Whatever else is wrong, that nothing can be heard comes first.
    const { lostEndpoints } = context;
    const isUnheard = lostEndpoints.size > 0 && plan.description.sources.some((tag) => isLost(context, tag));
    if (isUnheard) return unknownEstimate('link-down');
    return this.guarded(plan.description.id, () => plan.work(context), unknownEstimate('fault'));
  }

  /** The outcome, or what stands in for it when the work throws: a bug of ours must not take the others along. */
  guarded<Outcome>(figure: string, work: () => Outcome, otherwise: Outcome): Outcome {
    try {
      return work();
    } catch (error) {
      this.faults.push({ figure: figure.includes('.') ? figure : `${this.#line}.line.${figure}`, error });
      return otherwise;
    }
  }
}

function spreadOf(before: LineState, context: LineContext): DoseSpread | null {
  const { layout } = context.setup;
  const at = { lot: context.lot?.id ?? null, timeMs: context.frame.endMs };
  if (layout.treater === null || layout.liquids.length === 0) return null;
  return withDose(before.doseSpread, at, () => doseOf(context, layout.liquids, 'now'));
}

/** What figures depend on beside readings and time. */
function notesKey({ lot, shift, marks, samples, lostEndpoints }: LineInput): string {
  const notes = `${marks?.length ?? 0} ${samples?.length ?? 0}`;
  return `${lot?.id ?? ''} ${shift?.id ?? ''} ${notes} ${[...lostEndpoints].join(' ')}`;
}

function isNamedBy({ lot, shift }: LineInput): (anchor: string) => boolean {
  const starts = [lot, shift].flatMap((record, index) => {
    return record == null ? [] : [`${index === 0 ? 'lot' : 'shift'} ${record.id} `];
  });
  return (anchor) => starts.some((start) => anchor.startsWith(start));
}

function cropOf(setup: LineSetup, lot: Lot | null) {
  const crop = lot?.crop ?? setup.settings.defaultCrop;
  const found = setup.crops.find(({ id }) => id === crop);
  if (found === undefined)
    throw new RangeError(`FIGURE_INPUT lot.crop: got ${crop}, expected a configured crop`);
  return found;
}
