import type { Parcel, ParcelLayout } from './parcel.ts';

/**
 * Splits a stream by the share of each cell that a machine takes; water and coats go with their seed.
 *
 *     taken[i] = stream[i] * shares[i],   stream[i] -= taken[i]
 *
 * What is taken is added to `taken`; the stream is left with the rest, so that both add up to what came.
 */
export function separate(
  layout: ParcelLayout,
  stream: Parcel,
  cut: { shares: Float64Array; taken: Parcel },
): void {
  let allTaken = 0;
  let all = 0;
  for (let component = 0; component < layout.components; component += 1) {
    const end = layout.cellStarts[component + 1] ?? 0;
    let dryTaken = 0;
    let dry = 0;
    for (let i = layout.cellStarts[component] ?? 0; i < end; i += 1) {
      const here = stream[i] ?? 0;
      const moved = here * (cut.shares[i] ?? 0);
      stream[i] = here - moved;
      cut.taken[i] = (cut.taken[i] ?? 0) + moved;
      dry += here;
      dryTaken += moved;
    }
    if (dry > 0) move(stream, cut.taken, { at: layout.waterAt + component, share: dryTaken / dry });
    all += dry;
    allTaken += dryTaken;
  }
  if (all <= 0) return;
  for (let at = layout.coatAt; at < layout.size; at += 1)
    move(stream, cut.taken, { at, share: allTaken / all });
}

function move(stream: Parcel, taken: Parcel, { at, share }: { at: number; share: number }): void {
  const moved = (stream[at] ?? 0) * share;
  stream[at] = (stream[at] ?? 0) - moved;
  taken[at] = (taken[at] ?? 0) + moved;
}
