import { describe, expect, it } from 'vitest';
import { Check } from 'typebox/value';
import {
  RawAnswerSchema,
  ThinnedAnswerSchema,
  ValueAtAnswerSchema,
  type RawAnswer,
  type ThinnedAnswer,
} from '#server/contract/history-answer.ts';
import type { SampleStore, SeriesId } from '#server/ports/sample-store.ts';
import { SAMPLES_MAX } from '#server/web/history/raw-answer.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { webHouse } from './web-fixture.ts';
import { appOf, ask } from './http-app.ts';

const SECOND_MS = 1000;
const FLOW = 'line-1.intake.mass-flow';
const RUNNING = 'line-1.intake.running';
const DEFINITION = { unit: 'kg/h', interpolation: 'linear', resolution: 0, heldMs: null } as const;

interface Kept {
  readonly samples: SampleStore;
  readonly idOf: (name: string) => SeriesId;
}

/** A store with these values, a second apart from 0. */
async function kept(values: Readonly<Record<string, readonly number[]>>): Promise<Kept> {
  const samples = memorySampleStore();
  const names = Object.keys(values);
  const ids = await samples.register(
    names.map((name) => ({ ...DEFINITION, name, kind: 'tag' as const })),
    0,
  );
  const idOf = (name: string) => ids.get(name) ?? -1;
  const rows = names.flatMap((name) =>
    (values[name] ?? []).map((value, second) => ({ name, value, second })),
  );
  await samples.append({
    writer: 'test',
    sequence: 0,
    series: Uint32Array.from(rows, ({ name }) => idOf(name)),
    timeMs: Float64Array.from(rows, ({ second }) => second * SECOND_MS),
    value: Float64Array.from(rows, ({ value }) => value),
    status: Uint8Array.from(rows, ({ value }) => (Number.isNaN(value) ? 2 : 0)),
    reason: new Uint8Array(rows.length),
  });
  return { samples, idOf };
}

async function appWith(values: Readonly<Record<string, readonly number[]>>) {
  const { samples, idOf } = await kept(values);
  const seriesOf = (name: string) =>
    name in values ? ({ series: idOf(name), unit: 'kg/h', interpolation: 'linear' } as const) : undefined;
  return appOf(webHouse({ samples, seriesOf }));
}

const query = (parts: Readonly<Record<string, string | number>>) =>
  Object.entries(parts)
    .map(([key, value]) => `${key}=${encodeURIComponent(value)}`)
    .join('&');

describe('GET /api/history/thinned', () => {
  it('answers columns of each series in the order asked, null where there was no value', async () => {
    const app = await appWith({ [FLOW]: [10, 20, NaN, NaN, 30, 50], [RUNNING]: [1] });
    const range = query({ fromMs: 0, toMs: 6000, buckets: 3 });
    const { status, body } = await ask(app, `/api/history/thinned?series=${RUNNING}&series=${FLOW}&${range}`);
    expect(status).toBe(200);
    expect(Check(ThinnedAnswerSchema, body)).toBe(true);
    const answer = body as ThinnedAnswer;
    expect(answer.series.map(({ series }) => series)).toEqual([RUNNING, FLOW]);
    // By hand: two samples a bucket, the middle one without a value.
    expect(answer.series[1]).toMatchObject({
      unit: 'kg/h',
      interpolation: 'linear',
      timeMs: [0, 2000, 4000],
      first: [10, null, 30],
      last: [20, null, 50],
      min: [10, null, 30],
      max: [20, null, 50],
    });
    expect([answer.fromMs, answer.toMs]).toEqual([0, 6000]);
  });

  it('takes one series as well as several, and one named twice once', async () => {
    const app = await appWith({ [FLOW]: [1, 2] });
    const range = query({ fromMs: 0, toMs: 2000, buckets: 2 });
    const { body } = await ask(app, `/api/history/thinned?series=${FLOW}&series=${FLOW}&${range}`);
    expect((body as ThinnedAnswer).series).toHaveLength(1);
    expect(await ask(app, `/api/history/thinned?series=${FLOW}&${range}`)).toEqual({ status: 200, body });
  });

  it('names the series that it does not know', async () => {
    const app = await appWith({ [FLOW]: [1] });
    const range = query({ fromMs: 0, toMs: 2000, buckets: 2 });
    expect(await ask(app, `/api/history/thinned?series=${FLOW}&series=line-1.x&${range}`)).toEqual({
      status: 404,
      body: {
        error:
          'REQUEST_UNKNOWN query.series: got "line-1.x", expected a tag or figure that /api/plant lists; ' +
          'leave it out, or load the page again if the plant’s configuration has changed',
      },
    });
  });

  it.each([
    ['no buckets', { fromMs: 0, toMs: 1 }, 'query.buckets: got nothing, expected a value'],
    ['no buckets at all', { fromMs: 0, toMs: 1, buckets: 0 }, 'query.buckets: got 0, expected >= 1'],
    [
      'too many buckets',
      { fromMs: 0, toMs: 1, buckets: 20_001 },
      'query.buckets: got 20001, expected <= 20000',
    ],
    ['half a bucket', { fromMs: 0, toMs: 1, buckets: 1.5 }, 'query.buckets: got 1.5, expected integer'],
    ['an empty time', { fromMs: '', toMs: 1, buckets: 1 }, 'query.fromMs: got "", expected number'],
    [
      'a time in hexadecimal',
      { fromMs: '0x10', toMs: 99, buckets: 1 },
      'query.fromMs: got "0x10", expected number',
    ],
    [
      'a time that never ends',
      { fromMs: 0, toMs: 'Infinity', buckets: 1 },
      'query.toMs: got "Infinity", expected number',
    ],
    ['a time before 1970', { fromMs: -1, toMs: 1, buckets: 1 }, 'query.fromMs: got -1, expected >= 0'],
    [
      'a range that ends at its start',
      { fromMs: 5, toMs: 5, buckets: 1 },
      'query.toMs: got 5, expected > fromMs, which is 5',
    ],
  ])('refuses %s and names it', async (_, asked, said) => {
    const app = await appWith({ [FLOW]: [1] });
    const { status, body } = await ask(app, `/api/history/thinned?series=${FLOW}&${query(asked)}`);
    expect(status).toBe(400);
    expect((body as { error: string }).error).toMatch(`REQUEST_INVALID ${said}; `);
  });

  it('refuses an answer that would be too long to send', async () => {
    const names = Array.from({ length: 11 }, (_, index) => `tag-${index}`);
    const app = await appWith(Object.fromEntries(names.map((name) => [name, [1]])));
    const asked = names.map((name) => `series=${name}`).join('&');
    const { status, body } = await ask(app, `/api/history/thinned?${asked}&fromMs=0&toMs=1&buckets=20000`);
    expect(status).toBe(400);
    expect(body).toEqual({
      error:
        'REQUEST_INVALID query.buckets: got 20000 for each of 11 series, expected <= 200000 in all; ' +
        'ask for fewer buckets or fewer series at a time',
    });
  });
});

describe('GET /api/history/raw', () => {
  it('answers every sample with its status, null where there was no value', async () => {
    const app = await appWith({ [FLOW]: [10, NaN, 30] });
    const { body } = await ask(app, `/api/history/raw?series=${FLOW}&fromMs=0&toMs=2001`);
    expect(Check(RawAnswerSchema, body)).toBe(true);
    expect(body).toEqual({
      fromMs: 0,
      toMs: 2001,
      isCut: false,
      series: [
        {
          series: FLOW,
          unit: 'kg/h',
          interpolation: 'linear',
          timeMs: [0, 1000, 2000],
          value: [10, null, 30],
          status: [0, 2, 0],
          reason: [0, 0, 0],
        },
      ],
    });
  });

  it('gives all samples of all series exactly once when asked on from where it was cut', async () => {
    const many = Array.from({ length: SAMPLES_MAX }, (_, index) => index);
    const few = many.slice(0, 1000);
    const app = await appWith({ [FLOW]: many, [RUNNING]: few });
    const got: Record<string, number[]> = { [FLOW]: [], [RUNNING]: [] };
    const [toMs, cuts] = [SAMPLES_MAX * SECOND_MS, [] as number[]];
    for (let fromMs = 0; fromMs < toMs;) {
      const url = `/api/history/raw?series=${RUNNING}&series=${FLOW}&fromMs=${fromMs}&toMs=${toMs}`;
      const answer = (await ask(app, url)).body as RawAnswer;
      for (const { series, value } of answer.series) got[series]?.push(...value.map(Number));
      expect(answer.series.flatMap(({ value }) => value).length).toBeLessThanOrEqual(SAMPLES_MAX);
      expect(answer.isCut).toBe(answer.toMs < toMs);
      cuts.push(answer.toMs);
      fromMs = answer.toMs;
    }
    expect(cuts).toEqual([50_000 * SECOND_MS, toMs]);
    expect(got[FLOW]).toEqual(many);
    expect(got[RUNNING]).toEqual(few);
  });
});

describe('a series that was kept in another unit before', () => {
  it('is answered without the values of that time, and says from when on it has its unit', async () => {
    const { samples, idOf } = await kept({ [FLOW]: [10, 20, 30_000, 40_000] });
    const seriesOf = () =>
      ({ series: idOf(FLOW), unit: 'kg/h', interpolation: 'linear', unitFromMs: 2000 }) as const;
    const app = await appOf(webHouse({ samples, seriesOf }));
    const thinned = await ask(app, `/api/history/thinned?series=${FLOW}&fromMs=0&toMs=4000&buckets=4`);
    expect(Check(ThinnedAnswerSchema, thinned.body)).toBe(true);
    const [series] = (thinned.body as ThinnedAnswer).series;
    expect(series).toMatchObject({
      unitFromMs: 2000,
      max: [null, null, 30_000, 40_000],
      count: [1, 1, 1, 1],
    });
    expect(series?.coveredRatio.slice(0, 2)).toEqual([0, 0]);
    const raw = await ask(app, `/api/history/raw?series=${FLOW}&fromMs=0&toMs=4000`);
    expect(Check(RawAnswerSchema, raw.body)).toBe(true);
    expect((raw.body as RawAnswer).series[0]?.value).toEqual([null, null, 30_000, 40_000]);
    const before = await ask(app, `/api/history/value-at?series=${FLOW}&timeMs=1999`);
    expect(before.body).toEqual({ timeMs: 1999, values: [] });
  });
});

describe('GET /api/history/value-at', () => {
  it('answers the newest sample at or before the instant, and leaves out a series that had none', async () => {
    const app = await appWith({ [FLOW]: [10, 20, 30], [RUNNING]: [] });
    const { body } = await ask(app, `/api/history/value-at?series=${FLOW}&series=${RUNNING}&timeMs=1999`);
    expect(Check(ValueAtAnswerSchema, body)).toBe(true);
    expect(body).toEqual({
      timeMs: 1999,
      values: [{ series: FLOW, unit: 'kg/h', timeMs: 1000, value: 20, status: 0, reason: 0 }],
    });
  });
});
