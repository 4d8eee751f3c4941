import type { FigureDescription, FigureKind, FigureWindow } from '../../../server/contract/figure-message.ts';

/** The figures that can stand below one reject: its share of the line's feed and its ratio to the machine's own. */
export interface RejectFigures {
  readonly share: FigureDescription | undefined;
  readonly ratio: FigureDescription | undefined;
  readonly rate: FigureDescription | undefined;
}

const WINDOWS: readonly FigureWindow[] = ['now', 'ten-minutes', 'lot', 'shift'];

/** Finds the figures of what leaves a machine by kind; those of its streams first, else those of the machine. */
export function rejectFigures(
  figures: readonly FigureDescription[],
  machine: string,
  streams: readonly string[],
): RejectFigures {
  const here = figures.filter(
    (figure) => (figure.stream !== null && streams.includes(figure.stream)) || figure.machine === machine,
  );
  const best = (kind: FigureKind) =>
    here
      .filter((figure) => figure.kind === kind)
      .toSorted((one, other) => WINDOWS.indexOf(one.window) - WINDOWS.indexOf(other.window))[0];
  return { share: best('reject-share'), ratio: best('reject-ratio'), rate: best('reject-rate') };
}
