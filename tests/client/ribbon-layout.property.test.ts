import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnCentres, labelRows } from '#client/views/line/label-columns.ts';
import { lineOrder } from '#client/views/line/line-order.ts';
import { ribbonFlows } from '#client/views/line/ribbon-flows.ts';
import { ribbonLayout, type RibbonLayout } from '#client/views/line/ribbon-layout.ts';
import { ribbonScale } from '#client/views/line/ribbon-scale.ts';
import { ribbonSize } from '#client/views/line/ribbon-size.ts';
import { fakePlant, SKETCH_MACHINES, type FakeMachine } from '#tests/support/fake-line.ts';

const FEED_KG_PER_H = 13_000;

/** Lines of 4 to 16 machines with names and rejects of any length, as plants have them. */
const lines = fc
  .uniqueArray(
    fc.tuple(
      fc.constantFrom(...SKETCH_MACHINES),
      fc.integer({ min: 1, max: 99 }),
      fc.double({ min: 0, max: 0.2, noNaN: true }),
    ),
    {
      minLength: 4,
      maxLength: 16,
      selector: ([machine, number]) => `${machine.name} ${number}`,
    },
  )
  .map((picked) =>
    picked.map(([machine, number, share]): FakeMachine => ({
      ...machine,
      name: `${machine.name} ${number}`,
      ...(machine.reject === undefined
        ? {}
        : { reject: { ...machine.reject, share: share / picked.length } }),
    })),
  );
const widths = fc.integer({ min: 680, max: 2400 });

function layoutOf(machines: readonly FakeMachine[], widthPx: number): RibbonLayout {
  const { graph } = fakePlant(machines).line;
  const order = lineOrder(graph);
  const shares = new Map(
    order.rejects.flatMap((streams, index) =>
      streams.map(({ id }) => [id, (machines[index]?.reject?.share ?? 0) * FEED_KG_PER_H] as const),
    ),
  );
  const flows = ribbonFlows(order, (stream) =>
    stream === order.gaps[0]?.[0]?.id ? FEED_KG_PER_H : (shares.get(stream) ?? null),
  );
  const scale = ribbonScale(flows, null);
  return ribbonLayout(order, flows, { size: ribbonSize(widthPx), scale, labelledGaps: [1] });
}

function expectApart(labels: readonly { readonly xPx: number; readonly labelWidthPx: number }[]): void {
  for (const [index, label] of labels.entries()) {
    const next = labels[index + 1];
    if (next === undefined) continue;
    expect(next.xPx - label.xPx).toBeGreaterThanOrEqual((label.labelWidthPx + next.labelWidthPx) / 2 - 0.01);
  }
}

describe('ribbonLayout: properties', () => {
  it('lets no two labels of a row touch, for 4 to 16 machines on any width from 680', () => {
    fc.assert(
      fc.property(lines, widths, (machines, widthPx) => {
        const layout = layoutOf(machines, widthPx);
        for (const row of [0, 1] as const) {
          expectApart(
            layout.machines
              .filter(({ labelRow }) => labelRow === row)
              .map(({ xPx, ...rest }) => ({ ...rest, xPx })),
          );
          expectApart(
            layout.rejects
              .filter(({ labelRow }) => labelRow === row)
              .map(({ spoutPx, ...rest }) => ({ ...rest, xPx: spoutPx })),
          );
        }
      }),
    );
  });

  it('keeps every machine and every reject on the page', () => {
    fc.assert(
      fc.property(lines, widths, (machines, widthPx) => {
        const layout = layoutOf(machines, widthPx);
        for (const { xPx } of layout.machines) expect(xPx).toBeGreaterThan(0);
        for (const { xPx } of layout.machines) expect(xPx).toBeLessThan(widthPx);
        for (const { spoutPx } of layout.rejects) expect(spoutPx).toBeLessThan(widthPx);
      }),
    );
  });

  it('draws the ribbon from one end to the other without a hole', () => {
    fc.assert(
      fc.property(lines, widths, (machines, widthPx) => {
        const { pieces } = layoutOf(machines, widthPx);
        for (const [index, piece] of pieces.entries()) {
          expect(piece.endPx).toBeGreaterThanOrEqual(piece.startPx);
          expect(piece.endPx).toBe(pieces[index + 1]?.startPx ?? widthPx);
        }
      }),
    );
  });

  it('never makes the ribbon thicker where seed has left', () => {
    fc.assert(
      fc.property(lines, widths, (machines, widthPx) => {
        const { pieces } = layoutOf(machines, widthPx);
        for (const [index, piece] of pieces.entries()) {
          const before = pieces[index - 1];
          if (before !== undefined) expect(piece.thicknessPx).toBeLessThanOrEqual(before.thicknessPx + 1e-9);
        }
      }),
    );
  });

  it('writes only numbers into its paths', () => {
    fc.assert(
      fc.property(lines, widths, (machines, widthPx) => {
        for (const { path } of layoutOf(machines, widthPx).rejects) expect(path).toMatch(/^[MCVHZ0-9. -]+$/);
      }),
    );
  });
});

describe('ribbonLayout', () => {
  it('makes the thickness a straight measure of the flow, by hand', () => {
    const { pieces } = layoutOf(SKETCH_MACHINES, 1450);
    // 13,000 of a full scale of 16,000 kg/h, on 132 px.
    expect(pieces[0]?.thicknessPx).toBeCloseTo((13_000 / 16_000) * 132, 6);
  });

  it('stands labels in one row on the wall and needs no second', () => {
    for (const widthPx of [1450, 1018]) {
      expect(layoutOf(SKETCH_MACHINES, widthPx).hasTwoRows).toEqual({ names: false, rejects: false });
    }
  });
});

describe('columnCentres', () => {
  it('shares spare room evenly', () => {
    const centres = columnCentres({ startPx: 0, endPx: 300, choicesPx: [[40, 60, 50]] });
    expect(centres).toEqual([45, 145, 250]);
  });

  it('takes the most generous choice that fits', () => {
    const choicesPx = [
      [100, 10],
      [60, 60],
    ];
    expect(columnCentres({ startPx: 0, endPx: 120, choicesPx })).toEqual([52.5, 112.5]);
    expect(columnCentres({ startPx: 0, endPx: 110, choicesPx })).toEqual([50, 105]);
  });

  it('squeezes all columns alike where nothing fits', () => {
    expect(columnCentres({ startPx: 0, endPx: 60, choicesPx: [[60, 60]] })).toEqual([15, 45]);
  });
});

describe('labelRows', () => {
  it('uses two rows by turns where one is too narrow, and gives each its neighbours’ room', () => {
    expect(labelRows([0, 30, 60, 90], [40, 40, 40, 40])).toEqual([
      { row: 0, widthPx: 60 },
      { row: 1, widthPx: 60 },
      { row: 0, widthPx: 60 },
      { row: 1, widthPx: 60 },
    ]);
  });

  it('stays in one row where labels just touch', () => {
    expect(labelRows([0, 40], [40, 40]).map(({ row }) => row)).toEqual([0, 0]);
  });
});

describe('ribbonScale', () => {
  const flows = (feed: number, reject: number) => ({
    gaps: [{ kgPerH: feed, certainty: 'measured' as const }],
    rejects: [reject],
  });

  it('does not move with the flow while there is a band', () => {
    const band = { low: 12_000, high: 14_000, target: 13_000 };
    const full = [2000, 9000, 13_900].map((feed) => ribbonScale(flows(feed, 0), band).fullKgPerH);
    expect(new Set(full)).toEqual(new Set([16_000]));
  });

  it('draws rejects four times as wide, and less where that would look like the ribbon', () => {
    expect(ribbonScale(flows(13_000, 800), null).rejectFactor).toBe(4);
    expect(ribbonScale(flows(13_000, 2500), null).rejectFactor).toBe(2);
    expect(ribbonScale(flows(13_000, 9000), null).rejectFactor).toBe(1);
  });
});
