import type { FigureKind, FigureWindow } from '../contract/figure-message.ts';
import type { InputRole } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import { described, scalesOf } from './described.ts';
import type { FigurePlan, PlanParts } from './figure-plans.ts';
import type { RejectOutlet } from './line-layout.ts';
import {
  closureFigure,
  massFigure,
  rateFigure,
  rejectRatioFigure,
  rejectShareFigure,
} from './mass-figures.ts';
import { isLong } from './seen-amounts.ts';
import { differenceFigure, yieldFigure } from './yield-figures.ts';

const WINDOWS: readonly FigureWindow[] = ['now', 'ten-minutes', 'lot', 'shift'];
const LONGER: readonly FigureWindow[] = ['ten-minutes', 'lot', 'shift'];

/** Rates, masses, yield, rejects and closure. */
export function massPlans(parts: PlanParts): readonly FigurePlan[] {
  return [
    ...ratePlans(parts),
    ...massOfPlans(parts),
    ...WINDOWS.map((window) => yieldPlan(parts, window)),
    ...LONGER.map((window) => differencePlan(parts, window)),
    ...parts.layout.rejects.flatMap((outlet) => rejectPlans(parts, outlet)),
    ...LONGER.map((window) => closurePlan(parts, window)),
  ];
}

interface MainStream {
  readonly rate: FigureKind;
  readonly mass: FigureKind;
  readonly role: InputRole;
  readonly stream: Stream;
  readonly at: number;
}

function mainStreams({ layout }: PlanParts): readonly MainStream[] {
  const streams = [
    { rate: 'feed-rate', mass: 'feed-mass', role: 'feed', stream: layout.feed, at: layout.feedPlace },
    { rate: 'clean-rate', mass: 'clean-mass', role: 'clean', stream: layout.clean, at: layout.cleanPlace },
    {
      rate: 'treated-rate',
      mass: 'treated-mass',
      role: 'treated',
      stream: layout.treaterFeed,
      at: layout.treaterFeedPlace,
    },
  ] as const;
  return streams.flatMap(({ stream, ...rest }) => (stream === null ? [] : [{ ...rest, stream }]));
}

function ratePlans(parts: PlanParts): readonly FigurePlan[] {
  return mainStreams(parts).flatMap(({ rate, role, stream }) => {
    const sources = scalesOf(stream);
    const description = described({
      graph: parts.graph,
      stream: stream.id,
      kind: rate,
      unit: 'kg/h',
      sources,
    });
    return [{ description, formula: 'mean-rate', isSlow: false, work: rateFigure({ stream, role }) }];
  });
}

/** What came of the lot is known by what entered: its mass is that of the feed. */
function massOfPlans(parts: PlanParts): readonly FigurePlan[] {
  return mainStreams(parts).flatMap(({ mass, role, stream, at }) =>
    (['lot', 'shift'] as const).map((window): FigurePlan => {
      const kind = mass === 'feed-mass' && window === 'lot' ? 'lot-mass' : mass;
      const naming = { graph: parts.graph, stream: stream.id, kind, window, unit: 'kg' } as const;
      return {
        // The name says the window already.
        description: described({
          ...naming,
          ...(kind === 'lot-mass' ? { name: 'feed-mass' } : {}),
          sources: scalesOf(stream),
        }),
        formula: 'total',
        isSlow: true,
        work: massFigure({ stream, role, at }, window),
      };
    }),
  );
}

function yieldPlan({ graph, layout }: PlanParts, window: FigureWindow): FigurePlan {
  const isByTreated = layout.clean === null && layout.treated !== null;
  const liquids = isByTreated
    ? layout.liquids.flatMap(({ volumeFlowTag, liquid }) => [volumeFlowTag, liquid?.tankMassTag])
    : [];
  const sources = [...scalesOf(layout.feed), ...scalesOf(layout.clean ?? layout.treated), ...liquids];
  return {
    description: described({ graph, kind: 'yield', window, unit: '1', sources }),
    formula: isByTreated ? 'treated-less-liquid-over-feed' : 'clean-over-feed',
    isSlow: window !== 'now',
    work: yieldFigure(window),
  };
}

function differencePlan({ graph, layout }: PlanParts, window: FigureWindow): FigurePlan {
  const sources = [...scalesOf(layout.feed), ...scalesOf(layout.clean ?? layout.treated)];
  const unit = isLong(window) ? 'kg' : 'kg/h';
  return {
    description: described({ graph, kind: 'rejects-by-difference', window, unit, sources }),
    formula: 'feed-less-clean',
    isSlow: true,
    work: differenceFigure(window),
  };
}

function rejectPlans(parts: PlanParts, outlet: RejectOutlet): readonly FigurePlan[] {
  const { graph, layout } = parts;
  const { machine, stream } = outlet;
  const { place } = outlet;
  const own = scalesOf(stream);
  const feed = scalesOf(layout.feed);
  const upstream = layout.rejects
    .filter((other) => other.place < place)
    .flatMap((other) => scalesOf(other.stream));
  const naming = (kind: FigureKind) => ({ graph, kind, ...rejectName(parts, outlet, kind) });
  const ratio = (window: FigureWindow): FigurePlan => ({
    description: described({
      ...naming('reject-ratio'),
      window,
      unit: '1',
      sources: [...own, ...feed, ...upstream],
    }),
    formula: 'reject-over-machine-feed',
    isSlow: window !== 'now',
    work: rejectRatioFigure(outlet, window),
  });
  const share = (window: FigureWindow): FigurePlan => ({
    description: described({ ...naming('reject-share'), window, unit: '1', sources: [...own, ...feed] }),
    formula: 'reject-over-line-feed',
    isSlow: window !== 'now',
    work: rejectShareFigure(outlet, window),
  });
  const mass = (window: 'lot' | 'shift'): FigurePlan => ({
    description: described({ ...naming('reject-mass'), window, unit: 'kg', sources: own }),
    formula: 'total',
    isSlow: true,
    work: massFigure({ stream, role: 'reject', at: place }, window, machine.id),
  });
  const rate: FigurePlan = {
    description: described({ ...naming('reject-rate'), unit: 'kg/h', sources: own }),
    formula: 'mean-rate',
    isSlow: false,
    work: rateFigure({ stream, role: 'reject' }, machine.id),
  };
  const long = (['lot', 'shift'] as const).flatMap((window) => [ratio(window), share(window), mass(window)]);
  return [rate, ratio('now'), share('now'), share('ten-minutes'), ...long];
}

/** A machine with two rejects has figures for each; one alone needs no longer name. */
export function rejectName({ layout }: PlanParts, { machine, stream }: RejectOutlet, kind: FigureKind) {
  const isOnly = layout.rejects.filter((other) => other.machine.id === machine.id).length === 1;
  const name = isOnly ? {} : { name: `${stream.id}-${kind}` };
  return { machine: machine.id, stream: stream.id, ...name };
}

function closurePlan({ graph, layout }: PlanParts, window: FigureWindow): FigurePlan {
  const streams = [layout.feed, layout.clean, ...layout.rejects.map(({ stream }) => stream)];
  return {
    description: described({
      graph,
      kind: 'closure',
      window,
      unit: '1',
      sources: streams.flatMap(scalesOf),
    }),
    formula: 'balance-over-feed',
    isSlow: true,
    work: closureFigure(window),
  };
}
