import { describe, expect, it } from 'vitest';
import { lineOrder } from '#client/views/line/line-order.ts';
import { ribbonFlows, type FlowOf } from '#client/views/line/ribbon-flows.ts';
import type { LineGraph, Machine, Stream } from '#server/contract/line-graph.ts';
import { fakePlant, SKETCH_MACHINES } from '#tests/support/fake-line.ts';

const SKETCH = fakePlant(SKETCH_MACHINES).line.graph;

function flows(known: Readonly<Record<string, number>>): FlowOf {
  return (stream) => known[stream] ?? null;
}

/** Four machines in a row, of which the middle two take something out. */
const SMALL: LineGraph = {
  id: 'b',
  name: 'Line B',
  machines: ['one', 'two', 'three', 'four'].map(machine),
  streams: [
    stream('in', null, 'one'),
    stream('one-two', 'one', 'two'),
    stream('two-three', 'two', 'three'),
    stream('three-four', 'three', 'four'),
    stream('out', 'four', null),
    stream('two-x', 'two', null),
    stream('three-x', 'three', null),
  ],
};

describe('lineOrder', () => {
  it('puts machines along the streams whatever the order in which they are declared', () => {
    const shuffled = { ...SMALL, machines: [...SMALL.machines].reverse() };
    expect(lineOrder(shuffled).machines.map(({ id }) => id)).toEqual(['one', 'two', 'three', 'four']);
  });

  it('has one gap more than machines, each with the stream that crosses it', () => {
    const { gaps } = lineOrder(SMALL);
    expect(gaps.map((streams) => streams.map(({ id }) => id))).toEqual([
      ['in'],
      ['one-two'],
      ['two-three'],
      ['three-four'],
      ['out'],
    ]);
  });

  it('leaves out a machine that carries no seed', () => {
    const withFan = { ...SMALL, machines: [...SMALL.machines, machine('dust')] };
    expect(lineOrder(withFan).machines).toHaveLength(4);
  });

  it('lets a stream that goes past machines cross all gaps on its way', () => {
    const past = { ...SMALL, streams: [...SMALL.streams, stream('past', 'one', 'four')] };
    expect(lineOrder(past).gaps.map((streams) => streams.some(({ id }) => id === 'past'))).toEqual([
      false,
      true,
      true,
      true,
      false,
    ]);
  });

  it('ends even where main streams run in a circle', () => {
    const circle = { ...SMALL, streams: [...SMALL.streams, stream('back', 'three', 'two')] };
    expect(lineOrder(circle).machines).toHaveLength(4);
  });

  it('orders the line of the sketch from intake to bagging', () => {
    const { machines } = lineOrder(SKETCH);
    expect(machines[0]?.name).toBe('Intake');
    expect(machines.at(-1)?.name).toBe('Bagging');
  });
});

describe('ribbonFlows', () => {
  const order = lineOrder(SMALL);

  it('subtracts what leaves from what came in, by hand', () => {
    const { gaps } = ribbonFlows(order, flows({ in: 1000, 'two-x': 50, 'three-x': 30 }));
    expect(gaps.map(({ kgPerH }) => kgPerH)).toEqual([1000, 1000, 950, 920, 920]);
    expect(gaps.map(({ certainty }) => certainty)).toEqual([
      'measured',
      'reckoned',
      'reckoned',
      'reckoned',
      'reckoned',
    ]);
  });

  it('shares what is missing evenly among rejects that are not measured, and says that it is assumed', () => {
    const { gaps } = ribbonFlows(order, flows({ in: 1000, 'three-four': 900 }));
    expect(gaps.map(({ kgPerH }) => kgPerH)).toEqual([1000, 1000, 950, 900, 900]);
    expect(gaps[2]?.certainty).toBe('assumed');
    expect(gaps[3]?.certainty).toBe('measured');
  });

  it('takes a measured flow as it is, even where the balance does not close', () => {
    const { gaps } = ribbonFlows(order, flows({ in: 1000, 'two-x': 50, 'three-x': 30, out: 890 }));
    expect(gaps.at(-1)).toEqual({ kgPerH: 890, certainty: 'measured' });
    expect(gaps[3]?.kgPerH).toBe(920);
  });

  it('reckons backward where only the end is weighed', () => {
    const { gaps } = ribbonFlows(order, flows({ out: 920, 'two-x': 50, 'three-x': 30 }));
    expect(gaps[0]?.kgPerH).toBe(1000);
  });

  it('is unknown everywhere, not zero, where no main stream is known', () => {
    const { gaps } = ribbonFlows(order, flows({ 'two-x': 50 }));
    expect(gaps.every(({ kgPerH, certainty }) => kgPerH === null && certainty === 'unknown')).toBe(true);
  });

  it('never shows less than nothing', () => {
    const { gaps } = ribbonFlows(order, flows({ in: 10, 'two-x': 50, 'three-x': 30 }));
    expect(gaps.map(({ kgPerH }) => kgPerH)).toEqual([10, 10, 0, 0, 0]);
  });
});

function machine(id: string): Machine {
  return {
    id,
    name: id,
    kind: 'sizer',
    runningTag: null,
    bypassedTag: null,
    motorCurrentTag: null,
    tags: [],
  };
}

function stream(id: string, from: string | null, to: string | null): Stream {
  const role = id.endsWith('-x') ? 'reject' : 'main';
  const unmeasured = { massFlowTag: null, massTotalTag: null, volumeFlowTag: null, transportMs: 0 };
  return { id, name: id, role, from, to, ...unmeasured };
}
