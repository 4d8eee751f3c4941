import { DataType, StatusCodes, VariantArrayType, type DataValueOptions } from 'node-opcua';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '#tests/support/eventually.ts';
import {
  listenTo,
  MACHINE_CLOCK,
  type Listener,
  type ListenerOptions,
} from '#tests/support/opcua-listener.ts';
import { plantNode, rampNames, startOpcuaPlant, type OpcuaPlant } from '#tests/support/opcua-plant.ts';

let plant: OpcuaPlant;
let listener: Listener | null = null;

beforeAll(async () => {
  plant = await startOpcuaPlant({ namespacesBefore: 2 });
});
afterEach(async () => {
  await listener?.stop();
  listener = null;
});
afterAll(() => plant.stop());

async function listening(options: Omit<ListenerOptions, 'url'>): Promise<Listener> {
  listener = listenTo({ url: plant.url, ...options });
  await eventually('the link is live', () => listener?.state() === 'live');
  return listener;
}

function stamped(value: DataValueOptions['value'], more: Partial<DataValueOptions> = {}): DataValueOptions {
  const now = new Date();
  return { value, sourceTimestamp: now, serverTimestamp: now, ...more } as DataValueOptions;
}

const scalar = (dataType: DataType, value: unknown) => ({
  dataType,
  value,
  arrayType: VariantArrayType.Scalar,
});

describe('opcuaTagSource', () => {
  it('delivers every change of every tag, in order, with the time at which the plant measured it', async () => {
    const { of } = await listening({ tags: rampNames(5).map((tag) => ({ tag })) });
    for (const tag of rampNames(5)) {
      await eventually(`20 readings of ${tag}`, () => of(tag).length >= 20);
      const readings = of(tag);
      const first = readings[0]?.value ?? 0;
      expect(readings.map(({ value }) => value)).toEqual(readings.map((_, at) => first + at));
      expect(readings.every(({ sourceTimeMs, arrivalMs }) => Math.abs(arrivalMs - sourceTimeMs) < 1000)).toBe(
        true,
      );
    }
  });

  it('hands on the changes of one response in one batch', async () => {
    const { readings, batches } = await listening({ tags: rampNames(5).map((tag) => ({ tag })) });
    await eventually('100 readings', () => readings.length >= 100);
    expect(batches.length).toBeLessThan(readings.length / 3);
  });

  it.each([
    { node: 'Number', value: scalar(DataType.Double, 7.25), expected: { value: 7.25, quality: 'good' } },
    { node: 'Number', value: scalar(DataType.Double, NaN), expected: { value: null, quality: 'bad' } },
    { node: 'Contact', value: scalar(DataType.Boolean, true), expected: { value: 1, quality: 'good' } },
    {
      node: 'Signed',
      value: scalar(DataType.Int64, [0xffffffff, 0xfffffffe]),
      expected: { value: -2, quality: 'good' },
    },
    {
      node: 'Unsigned',
      value: scalar(DataType.UInt64, [1, 5]),
      expected: { value: 2 ** 32 + 5, quality: 'good' },
    },
    { node: 'Byte', value: scalar(DataType.Byte, 255), expected: { value: 255, quality: 'good' } },
    { node: 'Text', value: scalar(DataType.String, 'seven'), expected: { value: null, quality: 'bad' } },
  ])('makes of $node $value.value the reading $expected', async ({ node, value, expected }) => {
    plant.set(node, stamped(value));
    const { of } = await listening({ tags: [{ tag: node }] });
    await eventually(`a reading of ${node}`, () => of(node).length > 0);
    expect(of(node)[0]).toMatchObject(expected);
  });

  it.each([
    { status: StatusCodes.UncertainLastUsableValue, expected: { value: 3, quality: 'uncertain' } },
    { status: StatusCodes.BadSensorFailure, expected: { value: null, quality: 'bad' } },
    { status: StatusCodes.GoodClamped, expected: { value: 3, quality: 'good' } },
  ])('makes of status $status.name the reading $expected', async ({ status, expected }) => {
    plant.set('Other', stamped(scalar(DataType.Double, 3), { statusCode: status }));
    const { of } = await listening({ tags: [{ tag: 'Other' }] });
    await eventually('a reading', () => of('Other').length > 0);
    expect(of('Other')[0]).toMatchObject(expected);
  });

  it('multiplies by the factor of the tag', async () => {
    plant.set('Number', stamped(scalar(DataType.Double, 40)));
    const { valuesOf } = await listening({
      tags: [{ tag: 'ratio', node: plantNode('Number'), factor: 0.01 }],
    });
    await eventually('a reading', () => valuesOf('ratio').length > 0);
    expect(valuesOf('ratio')[0]).toBeCloseTo(0.4, 12);
  });

  it('proves a value that stands still, again and again, with a source time that goes on', async () => {
    const sinceMs = Date.now() - 3_600_000;
    plant.set('Number', { ...stamped(scalar(DataType.Double, 8)), sourceTimestamp: new Date(sinceMs) });
    const { of } = await listening({ tags: [{ tag: 'Number', staleAfterMs: 1000 }] });
    await eventually('four readings', () => of('Number').length >= 4);
    const times = of('Number').map(({ sourceTimeMs }) => sourceTimeMs);
    expect(times[0]).toBe(sinceMs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(of('Number').every(({ value }) => value === 8)).toBe(true);
    const [, , third, fourth] = of('Number');
    expect((fourth?.sourceTimeMs ?? 0) - (third?.sourceTimeMs ?? 0)).toBeLessThan(1000);
    expect(Math.abs((fourth?.arrivalMs ?? 0) - (fourth?.sourceTimeMs ?? 0))).toBeLessThan(500);
  });

  it('delivers a refused tag once as bad, says so by code, and takes it up when the plant has it after all', async () => {
    const { of, log } = await listening({ tags: [{ tag: 'Late' }, { tag: 'Ramp.0' }] });
    expect(of('Late').map(({ value, quality }) => [value, quality])).toEqual([[null, 'bad']]);
    const reports = log.filter((text) =>
      text.startsWith('NODE_REFUSED tag Late: got BadNodeIdUnknown for nsu='),
    );
    expect(reports).toHaveLength(1);
    plant.add('Late');
    await eventually('the tag is good', () => of('Late').at(-1)?.quality === 'good');
    expect(of('Late').filter(({ quality }) => quality === 'bad')).toHaveLength(1);
  });

  it('refuses a tag of a namespace that the plant has not, and goes on with the others', async () => {
    const node = 'nsu=urn:elsewhere;s=X';
    const { of, log, valuesOf } = await listening({ tags: [{ tag: 'foreign', node }, { tag: 'Ramp.0' }] });
    expect(of('foreign').map(({ quality }) => quality)).toEqual(['bad']);
    expect(log.join()).toContain('NODE_REFUSED tag foreign: got the plant has no namespace urn:elsewhere');
    await eventually('the other tag', () => valuesOf('Ramp.0').length > 2);
  });

  it('tells at least every 2 s that it is live, and how the clocks differ', async () => {
    const hourMs = 3_600_000;
    const clock = { ...MACHINE_CLOCK, nowMs: () => Date.now() - hourMs };
    const { statuses } = await listening({ tags: [{ tag: 'Ramp.0' }], clock });
    await eventually(
      'three more statuses',
      () => statuses.length >= 5 && statuses.at(-1)?.clockOffsetMs !== null,
    );
    const live = statuses.filter(({ state }) => state === 'live');
    const pauses = live.slice(1).map(({ toldMs }, at) => toldMs - (live[at]?.toldMs ?? 0));
    expect(Math.max(...pauses)).toBeLessThan(2000);
    expect(Math.abs((live.at(-1)?.clockOffsetMs ?? 0) - hourMs)).toBeLessThan(100);
  });

  it('gives a value without any time its arrival, by the plant clock', async () => {
    const hourMs = 3_600_000;
    plant.set('Other', { value: scalar(DataType.Double, 1) });
    const clock = { ...MACHINE_CLOCK, nowMs: () => Date.now() - hourMs };
    const { of } = await listening({ tags: [{ tag: 'Other', staleAfterMs: 1000 }], clock });
    await eventually('a second reading', () => of('Other').length >= 3);
    expect(Math.abs((of('Other').at(-1)?.sourceTimeMs ?? 0) - Date.now())).toBeLessThan(1500);
  });

  it('has returned from start before the plant has answered', () => {
    const startedMs = performance.now();
    listener = listenTo({ url: plant.url, tags: [{ tag: 'Ramp.0' }] });
    expect(performance.now() - startedMs).toBeLessThan(50);
    expect(listener.statuses.map(({ state }) => state)).toEqual(['connecting']);
  });

  it('refuses a tag of an endpoint that is not configured', () => {
    expect(() => listenTo({ url: plant.url, tags: [{ tag: 'x', endpoint: 'elsewhere' }] })).toThrow(
      'CONFIG_REFERENCE tag x endpoint: got elsewhere, expected one of plant; name an endpoint that the configuration defines',
    );
  });
});

describe('opcuaTagSource against a server with small limits', () => {
  it('keeps within the number of nodes that the server takes in one call', async () => {
    const limited = await startOpcuaPlant({ rampCount: 25, nodesInCallMax: 4 });
    const tags = rampNames(25).map((tag) => ({ tag, staleAfterMs: 1000 }));
    const all = listenTo({ url: limited.url, tags: [...tags, { tag: 'Number', staleAfterMs: 1000 }] });
    await eventually('every tag twice', () => tags.every(({ tag }) => all.of(tag).length >= 2));
    await eventually('the quiet one too', () => all.of('Number').length >= 2);
    expect(all.statuses.every(({ state }) => state !== 'lost')).toBe(true);
    await all.stop();
    await limited.stop();
  });
});
