import { addTo, massOf, moveAll, moveShare, type Parcel, type ParcelLayout } from './parcel.ts';

export interface Bin {
  fill(parcel: Parcel): void;
  /** Lets up to `kg` run out into `out`, oldest first; returns what ran out. */
  discharge(kg: number, out: Parcel): number;
  contentsKg(): number;
  addContentsTo(target: Parcel): void;
}

export interface BinOptions {
  readonly layout: ParcelLayout;
  /** Layers are told apart down to this mass; within a layer the seed is mixed. */
  readonly layerKg: number;
}

/** A bin that runs out in the order it was filled (mass flow), in layers. */
export function bin({ layout, layerKg }: BinOptions): Bin {
  const layers: { parcel: Parcel; kg: number }[] = [];
  const spare: Parcel[] = [];

  return {
    fill(parcel) {
      const kg = massOf(layout, parcel);
      if (kg <= 0) return;
      const top = layers.at(-1);
      if (top !== undefined && top.kg < layerKg) {
        addTo(top.parcel, parcel);
        top.kg += kg;
      } else {
        const fresh = spare.pop() ?? new Float64Array(layout.size);
        fresh.set(parcel);
        layers.push({ parcel: fresh, kg });
      }
    },
    discharge(kg, out) {
      let left = kg;
      for (let oldest = layers[0]; oldest !== undefined && left > 0; oldest = layers[0]) {
        if (oldest.kg > left) {
          moveShare(oldest.parcel, out, left / oldest.kg);
          oldest.kg -= left;
          return kg;
        }
        left -= oldest.kg;
        moveAll(oldest.parcel, out);
        spare.push(oldest.parcel);
        layers.shift();
      }
      return kg - left;
    },
    contentsKg: () => layers.reduce((sum, layer) => sum + layer.kg, 0),
    addContentsTo(target) {
      for (const layer of layers) addTo(target, layer.parcel);
    },
  };
}
