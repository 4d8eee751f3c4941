import { addTo, type Parcel } from './parcel.ts';

export interface TransportOptions {
  readonly size: number;
  readonly stepS: number;
  /** Time on the belt, deck or spout at full speed. */
  readonly plugS: number;
  /** Time constant of the mixing on the way (boots, hoppers, beds). */
  readonly mixS: number;
}

export interface TransportLine {
  /**
   * Takes in what came during a step, moves by `advance` (1 = full speed for the whole step, 0 = stands still)
   * and adds what leaves to `out`. What stands still is held, not lost.
   */
  pass(input: Parcel, advance: number, out: Parcel): void;
  /** Adds everything that lies on the line to `target` (for balances). */
  addContentsTo(target: Parcel): void;
}

/** Seed on its way between two machines: a plug on the belt, then a mixed bed. Mass is conserved exactly. */
export function transportLine(options: TransportOptions): TransportLine {
  const { size, stepS } = options;
  const slots = Array.from(
    { length: Math.max(1, Math.round(options.plugS / stepS)) },
    () => new Float64Array(size),
  );
  const bed = new Float64Array(size);
  let head = 0;

  function moveOneSlot(input: Parcel): void {
    const last = slots[head] ?? bed;
    addTo(bed, last);
    last.set(input);
    head = (head + 1) % slots.length;
  }

  /** Below full speed every slot hands on a part of itself, oldest first. */
  function creep(input: Parcel, advance: number): void {
    let next: Parcel = bed;
    for (let k = 0; k < slots.length; k += 1) {
      const slot = slots[(head + k) % slots.length] ?? bed;
      for (let i = 0; i < size; i += 1) {
        const moved = (slot[i] ?? 0) * advance;
        slot[i] = (slot[i] ?? 0) - moved;
        next[i] = (next[i] ?? 0) + moved;
      }
      next = slot;
    }
    addTo(next, input);
  }

  return {
    pass(input, advance, out) {
      if (advance >= 1) moveOneSlot(input);
      else creep(input, advance);
      const leaving = options.mixS <= 0 ? 1 : 1 - Math.exp((-stepS * advance) / options.mixS);
      for (let i = 0; i < size; i += 1) {
        const moved = (bed[i] ?? 0) * leaving;
        bed[i] = (bed[i] ?? 0) - moved;
        out[i] = (out[i] ?? 0) + moved;
      }
    },
    addContentsTo(target) {
      for (const slot of slots) addTo(target, slot);
      addTo(target, bed);
    },
  };
}
