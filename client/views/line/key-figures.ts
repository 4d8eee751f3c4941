import type { FigureDescription, FigureKind, FigureWindow } from '../../../server/contract/figure-message.ts';

/** The figures that earn a card, in reading order, and which window of each says most to an operator. */
const CARDS: readonly { readonly kind: FigureKind; readonly windows: readonly FigureWindow[] }[] = [
  { kind: 'yield', windows: ['ten-minutes', 'now', 'lot', 'shift'] },
  { kind: 'lot-mass', windows: ['lot'] },
  { kind: 'dose', windows: ['now', 'ten-minutes', 'lot'] },
  { kind: 'feed-rate', windows: ['now', 'ten-minutes'] },
  { kind: 'treated-rate', windows: ['now', 'ten-minutes'] },
  { kind: 'clean-rate', windows: ['now', 'ten-minutes'] },
  { kind: 'moisture', windows: ['now', 'ten-minutes'] },
];
const CARDS_MAX = 6;
/** These take a card only where others leave one free. */
const SPARE: ReadonlySet<FigureKind> = new Set(['treated-rate', 'clean-rate']);

/** One figure of each kind that this line has, at most six. */
export function keyFigures(
  figures: readonly FigureDescription[],
  line: string,
): readonly FigureDescription[] {
  const found = CARDS.flatMap(({ kind, windows }) => {
    const figure = bestOf(figures, { line, kind, windows });
    return figure === undefined ? [] : [figure];
  });
  const first = found.filter(({ kind }) => !SPARE.has(kind));
  const free = Math.max(0, CARDS_MAX - first.length);
  const spare = found.filter(({ kind }) => SPARE.has(kind)).slice(0, free);
  return found.filter((figure) => first.includes(figure) || spare.includes(figure)).slice(0, CARDS_MAX);
}

/** The three that say most over time, in reading order: what comes in, what comes of it, what is put on it. */
const TREND_KINDS: readonly FigureKind[] = ['feed-rate', 'yield', 'dose'];

export function trendFigures(cards: readonly FigureDescription[]): readonly string[] {
  return TREND_KINDS.flatMap((kind) => cards.filter((card) => card.kind === kind).map(({ id }) => id));
}

export interface FigureWanted {
  readonly line: string;
  readonly kind: FigureKind;
  readonly windows: readonly FigureWindow[];
}

/** The figure of this kind with the window that comes first in the list. */
export function bestOf(
  figures: readonly FigureDescription[],
  wanted: FigureWanted,
): FigureDescription | undefined {
  const ofKind = figures.filter(({ line, kind }) => line === wanted.line && kind === wanted.kind);
  for (const window of wanted.windows) {
    const found = ofKind.find((figure) => figure.window === window);
    if (found !== undefined) return found;
  }
  return undefined;
}
