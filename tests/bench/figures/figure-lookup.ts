import type { FigureKind, FigureWindow } from '#server/contract/figure-message.ts';
import type { LineStep } from '#server/line/step-line.ts';
import type { BenchLine } from './bench-line.ts';

export interface Wanted {
  readonly kind: FigureKind;
  readonly window: FigureWindow;
  readonly product?: string;
}

/** The value of a figure, or null where the line has no such figure or does not know it. */
export function figureValue({ setup }: BenchLine, step: LineStep | null, wanted: Wanted): number | null {
  const plan = setup.plans.find(({ description: { kind, window, product } }) => {
    return kind === wanted.kind && window === wanted.window && product === (wanted.product ?? null);
  });
  const id = plan?.description.id;
  return step?.figures.find((figure) => figure.id === id)?.value ?? null;
}
