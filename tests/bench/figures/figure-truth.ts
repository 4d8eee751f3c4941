import type { FigureDescription, FigureKind, FigureWindow } from '#server/contract/figure-message.ts';
import type { BenchLine } from './bench-line.ts';
import { CLEAN, FEED, PUMPS, WHEEL } from './nodes.ts';
import type { SeedTruth, Stretch } from './seed-truth.ts';

/** The instant at which figures are asked, and since when the lot runs; in seconds of the truth. */
export interface Asked {
  readonly atS: number;
  readonly lotFromS: number;
}

/** What a figure would be if nothing were measured but known; null where the simulator keeps no truth of it. */
export type FigureTruth = (description: FigureDescription, asked: Asked) => number | null;

interface Question {
  readonly description: FigureDescription;
  /** Node of the figure's stream. */
  readonly node: string;
  readonly stretchAt: (node: string) => Stretch;
}

const TEN_MINUTES_S = 600;
const PER_HOUR = 3600;
const MINUTES_PER_HOUR = 60;

export function figureTruth(line: BenchLine, real: SeedTruth, bushelKg: number): FigureTruth {
  const rejects = rejectNodes(line);
  const hours = ({ fromS, toS }: Stretch) => (toS - fromS) / PER_HOUR;
  const own = ({ node, stretchAt }: Question) => real.mean(node, stretchAt(node));
  const ownMass = (asked: Question) => own(asked) * hours(asked.stretchAt(asked.node));
  const feedOf = ({ node, stretchAt }: Question) => real.feedOf(node, stretchAt(node));
  const atClean = (asked: Question): Question => ({ ...asked, node: CLEAN });
  /** What other machines took of the seed that is seen at a node. */
  const takenBefore = ({ node, stretchAt }: Question, others: readonly string[]) =>
    others.reduce((sum, other) => {
      const earlierS = Math.round(real.lagS(node) - real.lagS(other));
      const { fromS, toS } = stretchAt(node);
      return sum + real.mean(other, { fromS: fromS - earlierS, toS: toS - earlierS });
    }, 0);
  const machineFeed = (asked: Question) =>
    feedOf(asked) - takenBefore(asked, rejects.slice(0, Math.max(0, rejects.indexOf(asked.node))));
  const difference = (asked: Question) => feedOf(atClean(asked)) - own(atClean(asked));
  const pumps = ({ description, stretchAt }: Question) =>
    PUMPS.filter((node) => description.kind === 'dose' || node === pumpOf(line, description))
      .map((node) => real.mean(node, stretchAt(WHEEL)))
      .reduce((sum, flow) => sum + flow, 0);
  const dose = (asked: Question) =>
    (pumps(asked) * MINUTES_PER_HOUR * bushelKg) / real.mean(WHEEL, asked.stretchAt(WHEEL));

  const truths: Partial<Record<FigureKind, (asked: Question) => number>> = {
    'feed-rate': own,
    'clean-rate': own,
    'treated-rate': own,
    'reject-rate': own,
    'lot-mass': ownMass,
    'clean-mass': ownMass,
    'treated-mass': ownMass,
    'reject-mass': ownMass,
    yield: (asked) => own(atClean(asked)) / feedOf(atClean(asked)),
    'rejects-by-difference': (asked) =>
      difference(asked) * (asked.description.window === 'lot' ? hours(asked.stretchAt(CLEAN)) : 1),
    'reject-share': (asked) => own(asked) / feedOf(asked),
    'reject-ratio': (asked) => own(asked) / machineFeed(asked),
    closure: (asked) => (difference(asked) - takenBefore(atClean(asked), rejects)) / feedOf(atClean(asked)),
    dose,
    'product-dose': dose,
    'liquid-used': (asked) => pumps(asked) * hours(asked.stretchAt(WHEEL)) * MINUTES_PER_HOUR,
  };
  return (description, asked) => {
    const node = nodeOfStream(line, description.stream) ?? CLEAN;
    const stretchAt = (place: string) => stretchOf(description.window, asked, { real, node: place, line });
    const truth = truths[description.kind]?.({ description, node, stretchAt });
    return truth === undefined || !Number.isFinite(truth) ? null : truth;
  };
}

/** When the seed of a window passed a node: windows end now, a lot begins when its first seed comes past. */
function stretchOf(
  window: FigureWindow,
  { atS, lotFromS }: Asked,
  { real, node, line }: { readonly real: SeedTruth; readonly node: string; readonly line: BenchLine },
): Stretch {
  if (window === 'now') return { fromS: atS - line.setup.settings.nowWindowMs / 1000, toS: atS };
  if (window === 'ten-minutes') return { fromS: atS - TEN_MINUTES_S, toS: atS };
  const lagS = node === FEED ? 0 : real.lagS(node === WHEEL ? CLEAN : node);
  const passedS = lotFromS + lagS;
  return { fromS: Math.round(node === WHEEL ? real.throughBin(passedS) : passedS), toS: atS };
}

/** Rejects that flow on this route, in the order in which seed meets them. */
function rejectNodes(line: BenchLine): readonly string[] {
  return line.setup.layout.rejects.flatMap(({ stream }) => nodeOfStream(line, stream.id) ?? []);
}

function nodeOfStream({ setup, addresses }: BenchLine, id: string | null): string | null {
  const stream = setup.graph.streams.find((each) => each.id === id);
  const tag = stream?.massFlowTag ?? stream?.massTotalTag ?? null;
  return addresses.find((address) => address.tag === tag)?.node ?? null;
}

function pumpOf({ setup, addresses }: BenchLine, { stream }: FigureDescription): string | null {
  const tag = setup.graph.streams.find(({ id }) => id === stream)?.volumeFlowTag ?? null;
  return addresses.find((address) => address.tag === tag)?.node ?? null;
}
