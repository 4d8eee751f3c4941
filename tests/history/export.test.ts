import { parquetReadObjects } from 'hyparquet';
import { beforeEach, describe, expect, it } from 'vitest';
import { STORED_REASON, STORED_STATUS } from '#server/contract/stored-status.ts';
import { historyExport } from '#server/history/export/history-export.ts';
import type { SampleStore, SeriesId } from '#server/ports/sample-store.ts';
import { memorySampleStore } from '../support/memory-sample-store.ts';
import { batchOf, flow, running, START_MS } from '../support/sample-builders.ts';

const never = new AbortController().signal;
const quoted = { ...running, name: 'belt "A", upper' };

describe('export of the history', () => {
  let store: SampleStore;
  let scale: SeriesId;
  let belt: SeriesId;
  beforeEach(async () => {
    store = memorySampleStore();
    const ids = await store.register([flow, quoted], 0);
    scale = ids.get(flow.name) ?? -1;
    belt = ids.get(quoted.name) ?? -1;
    await store.append(
      batchOf(0, [
        [scale, 0, 9000.1],
        [scale, 1001, NaN, STORED_STATUS.gap, STORED_REASON.linkDown],
        [scale, 2000, 0, STORED_STATUS.uncertain, 0],
        [belt, 500, 1],
      ]),
    );
  });

  const selection = (names: readonly string[]) => ({ names, fromMs: START_MS, toMs: START_MS + 60_000 });

  async function csvOf(names: readonly string[]): Promise<string> {
    const { body } = await historyExport(store, { format: 'csv', ...selection(names) }, never);
    return Buffer.concat(await collected(body)).toString();
  }

  it('writes CSV per RFC 4180 with times per ISO 8601 and the unit in the header', async () => {
    expect(await csvOf([flow.name])).toBe(
      [
        'time,series,value [kg/h],status,reason',
        '2026-03-02T06:00:00.000Z,quillmarsh.scale.massFlow,9000.1,good,',
        '2026-03-02T06:00:01.001Z,quillmarsh.scale.massFlow,,gap,linkDown',
        '2026-03-02T06:00:02.000Z,quillmarsh.scale.massFlow,0,uncertain,',
        '',
      ].join('\r\n'),
    );
  });

  it('gives each line its unit where there are several, and quotes what has commas and quotes', async () => {
    const lines = (await csvOf([quoted.name, flow.name])).split('\r\n');
    expect(lines[0]).toBe('time,series,value,unit,status,reason');
    expect(lines[1]).toBe('2026-03-02T06:00:00.500Z,"belt ""A"", upper",1,state,good,');
    expect(lines[2]).toContain(',9000.1,kg/h,good,');
  });

  it('names the unit that was in force when a series was scaled anew', async () => {
    await store.register([{ ...flow, unit: 'kg' }], START_MS + 2000);
    const lines = (await csvOf([flow.name])).split('\r\n');
    expect(lines.slice(1, 4).map((line) => line.split(',')[3])).toEqual(['kg/h', 'kg/h', 'kg']);
  });

  it('writes Parquet that another reader reads as the same rows', async () => {
    const { body } = await historyExport(store, { format: 'parquet', ...selection([flow.name]) }, never);
    const bytes = Buffer.concat((await collected(body)).map((part) => Buffer.from(part)));
    const file = Uint8Array.from(bytes).buffer;
    const rows = await parquetReadObjects({ file });
    expect(rows).toEqual([
      {
        time: new Date(START_MS),
        series: flow.name,
        value: 9000.1,
        unit: 'kg/h',
        status: 'good',
        reason: null,
      },
      {
        time: new Date(START_MS + 1001),
        series: flow.name,
        value: null,
        unit: 'kg/h',
        status: 'gap',
        reason: 'linkDown',
      },
      {
        time: new Date(START_MS + 2000),
        series: flow.name,
        value: 0,
        unit: 'kg/h',
        status: 'uncertain',
        reason: null,
      },
    ]);
  });

  it('writes many row groups of Parquet piece by piece', async () => {
    const many = Array.from({ length: 120_000 }, (_, i) => {
      return [i % 2 === 0 ? scale : belt, 100_000 + i * 10, i % 100] as const;
    });
    await store.append(batchOf(1, [...many, ...many.map(([id, ms, v]) => [id, ms + 2_000_000, v] as const)]));
    const request = { names: ['*'], fromMs: START_MS + 100_000, toMs: START_MS + 9_000_000 };
    const parts = await collected(
      (await historyExport(store, { format: 'parquet', ...request }, never)).body,
    );
    expect(parts.length).toBeGreaterThan(2);
    const bytes = Buffer.concat(parts.map((part) => Buffer.from(part)));
    const rows = await parquetReadObjects({ file: Uint8Array.from(bytes).buffer, columns: ['value'] });
    expect(rows).toHaveLength(240_000);
    expect(rows[239_999]).toEqual({ value: 99 });
  });

  it('refuses a name that is not in the catalogue', async () => {
    await expect(csvOf(['nobody'])).rejects.toThrow(
      'REQUEST_UNKNOWN series: got nobody, expected the name of a series in the catalogue, or the beginning of one and *; nothing is exported',
    );
  });
});

async function collected<T>(parts: AsyncIterable<T>): Promise<T[]> {
  const all: T[] = [];
  for await (const part of parts) all.push(part);
  return all;
}
