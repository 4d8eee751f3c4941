import type { Parcel, ParcelLayout } from './parcel.ts';

/** Where a cut sends what, cell by cell, and the parcel that what is taken is added to. */
export interface Taking {
  readonly shares: Float64Array;
  readonly taken: Parcel;
}

/**
 * Splits a stream by the share of each cell that a machine takes; water and coats go with their seed.
 *
 *     taken[i] += stream[i] * shares[i],   stream[i] -= the same
 *
 * The stream is left with the rest, so that both add up to what came.
 */
export function separate(layout: ParcelLayout, stream: Parcel, cut: Taking): void {
  let all = 0;
  let allTaken = 0;
  for (let component = 0; component < layout.components; component += 1) {
    const { dry, dryTaken } = separateComponent(layout, stream, { component, cut });
    if (dry > 0) move(stream, cut.taken, { at: layout.waterAt + component, share: dryTaken / dry });
    all += dry;
    allTaken += dryTaken;
  }
  if (all <= 0) return;
  for (let at = layout.coatAt; at < layout.size; at += 1)
    move(stream, cut.taken, { at, share: allTaken / all });
}

function separateComponent(
  layout: ParcelLayout,
  stream: Parcel,
  { component, cut }: { readonly component: number; readonly cut: Taking },
): { readonly dry: number; readonly dryTaken: number } {
  const end = layout.cellStarts[component + 1] ?? 0;
  let dry = 0;
  let dryTaken = 0;
  for (let i = layout.cellStarts[component] ?? 0; i < end; i += 1) {
    const here = stream[i] ?? 0;
    const moved = here * (cut.shares[i] ?? 0);
    stream[i] = here - moved;
    cut.taken[i] = (cut.taken[i] ?? 0) + moved;
    dry += here;
    dryTaken += moved;
  }
  return { dry, dryTaken };
}

function move(stream: Parcel, taken: Parcel, { at, share }: { at: number; share: number }): void {
  const moved = (stream[at] ?? 0) * share;
  stream[at] = (stream[at] ?? 0) - moved;
  taken[at] = (taken[at] ?? 0) + moved;
}
