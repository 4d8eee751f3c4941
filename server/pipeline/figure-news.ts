import type { Band, FigureDescription, FigureMessage } from '../contract/figure-message.ts';

/** How often a figure is kept while it is known: finer is the noise of its window. */
const KEPT_EVERY_MS = 1000;

/** Which figures to send and which to keep: a figure that stands still is neither sent nor stored again and again. */
export class FigureNews {
  readonly #resolutionOf: ReadonlyMap<string, number>;
  readonly #sent = new Map<string, FigureMessage>();
  readonly #kept = new Map<string, FigureMessage>();

  constructor(descriptions: readonly FigureDescription[]) {
    this.#resolutionOf = new Map(descriptions.map(({ id, resolution }) => [id, resolution]));
  }

  toSend(figures: readonly FigureMessage[]): readonly FigureMessage[] {
    const news = figures.filter((figure) => this.#isNews(figure, this.#sent.get(figure.id)));
    for (const figure of news) this.#sent.set(figure.id, figure);
    return news;
  }

  /** A figure is kept once a second, and at once when it becomes known or unknown or its reason changes. */
  toKeep(figures: readonly FigureMessage[]): readonly FigureMessage[] {
    const kept = figures.filter((figure) => {
      const last = this.#kept.get(figure.id);
      if (last === undefined || last.because !== figure.because) return true;
      return figure.because === null && figure.timeMs - last.timeMs >= KEPT_EVERY_MS;
    });
    for (const figure of kept) this.#kept.set(figure.id, figure);
    return kept;
  }

  #isNews(figure: FigureMessage, last: FigureMessage | undefined): boolean {
    if (last === undefined) return true;
    if (last.because !== figure.because || last.quality !== figure.quality) return true;
    if (!isSameBand(last.band, figure.band)) return true;
    const resolution = this.#resolutionOf.get(figure.id) ?? 0;
    return Math.abs((figure.value ?? 0) - (last.value ?? 0)) >= resolution;
  }
}

function isSameBand(one: Band | null, other: Band | null): boolean {
  if (one === other) return true;
  return one?.low === other?.low && one?.high === other?.high && one?.target === other?.target;
}
