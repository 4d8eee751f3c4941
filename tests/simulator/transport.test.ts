import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bin } from '#simulator/physics/bin.ts';
import { massOf, parcelLayout, type Parcel } from '#simulator/physics/parcel.ts';
import { transportLine } from '#simulator/physics/transport-line.ts';

const layout = parcelLayout([1, 1]);

function parcelOf(kg: number): Parcel {
  const parcel = new Float64Array(layout.size);
  parcel[0] = kg * 0.75;
  parcel[1] = kg * 0.25;
  return parcel;
}

describe('transportLine', () => {
  it('brings a pulse after its plug time, spread over its mixing time: mean delay plug + mixing, by hand', () => {
    const line = transportLine({ size: layout.size, stepS: 1, plugS: 14, mixS: 5 });
    let mass = 0;
    let moment = 0;
    for (let step = 0; step < 200; step += 1) {
      const out = new Float64Array(layout.size);
      line.pass(parcelOf(step === 0 ? 10 : 0), 1, out);
      const kg = massOf(layout, out);
      if (step < 14) expect(kg).toBe(0);
      mass += kg;
      moment += kg * step;
    }
    expect(mass).toBeCloseTo(10, 9);
    expect(moment / mass).toBeGreaterThan(14 + 4);
    expect(moment / mass).toBeLessThan(14 + 6);
  });

  it('holds what lies on it while it stands still', () => {
    const line = transportLine({ size: layout.size, stepS: 1, plugS: 5, mixS: 2 });
    const out = new Float64Array(layout.size);
    for (let step = 0; step < 8; step += 1) line.pass(parcelOf(3), 1, out);
    const before = massOf(layout, out);
    for (let step = 0; step < 50; step += 1) line.pass(parcelOf(0), 0, out);
    expect(massOf(layout, out)).toBe(before);
    const held = new Float64Array(layout.size);
    line.addContentsTo(held);
    expect(massOf(layout, held) + before).toBeCloseTo(24, 9);
  });

  it('loses nothing whatever it is fed and however it moves', () => {
    const steps = fc.array(
      fc.tuple(fc.double({ min: 0, max: 9, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true })),
      {
        minLength: 1,
        maxLength: 60,
      },
    );
    fc.assert(
      fc.property(steps, (moves) => {
        const line = transportLine({ size: layout.size, stepS: 1, plugS: 7, mixS: 3 });
        const out = new Float64Array(layout.size);
        let fed = 0;
        for (const [kg, advance] of moves) {
          line.pass(parcelOf(kg), advance, out);
          fed += kg;
        }
        line.addContentsTo(out);
        expect(massOf(layout, out)).toBeCloseTo(fed, 9);
      }),
    );
  });
});

describe('bin', () => {
  it('runs out in the order it was filled, layer by layer', () => {
    const store = bin({ layout, layerKg: 10 });
    const first = new Float64Array(layout.size);
    first[0] = 30;
    const second = new Float64Array(layout.size);
    second[1] = 30;
    store.fill(first);
    store.fill(second);
    const out = new Float64Array(layout.size);
    expect(store.discharge(30, out)).toBe(30);
    expect(out[0]).toBeCloseTo(30, 9);
    expect(out[1]).toBe(0);
  });

  it('gives no more than it holds', () => {
    const store = bin({ layout, layerKg: 10 });
    store.fill(parcelOf(12));
    const out = new Float64Array(layout.size);
    expect(store.discharge(50, out)).toBeCloseTo(12, 9);
    expect(massOf(layout, out)).toBeCloseTo(12, 9);
    expect(store.contentsKg()).toBeCloseTo(0, 9);
  });
});
