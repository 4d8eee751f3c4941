import { describe, expect, it } from 'vitest';
import { STORED_REASON, STORED_STATUS } from '#server/contract/stored-status.ts';
import type { WebApp } from '#server/web/web-house.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { readByDuckDb } from '#tests/support/read-by-duckdb.ts';
import { batchOf, flow, running, START_MS } from '#tests/support/sample-builders.ts';
import { appOf, ask, HERE } from './http-app.ts';
import { webHouse } from './web-fixture.ts';

/** A name with everything that RFC 4180 wants quoted: comma, quote and line end. */
const AWKWARD = 'belt "A",\nupper';
const FROM_TO = `fromMs=${START_MS}&toMs=${START_MS + 60_000}`;

async function appWithSamples(): Promise<WebApp> {
  const samples = memorySampleStore();
  const ids = await samples.register([flow, { ...running, name: AWKWARD }], 0);
  const [scale, belt] = [ids.get(flow.name) ?? -1, ids.get(AWKWARD) ?? -1];
  await samples.append(
    batchOf(0, [
      [scale, 0, 9000.1],
      [scale, 1001, NaN, STORED_STATUS.gap, STORED_REASON.linkDown],
      [scale, 2000, -0.5, STORED_STATUS.uncertain, 0],
      [belt, 500, 1],
    ]),
  );
  return appOf(webHouse({ samples }));
}

async function fileOf(app: WebApp, asked: string) {
  const answer = await app.inject({ url: `/api/history/export?${asked}`, headers: HERE });
  expect(answer.statusCode).toBe(200);
  return answer;
}

const ROWS = 'SELECT epoch_ms(time::TIMESTAMP)::DOUBLE, series, value, unit, status, reason FROM file';

/** What was put in, as rows of any format. */
const EXPECTED = [
  [START_MS, flow.name, 9000.1, 'kg/h', 'good', null],
  [START_MS + 1001, flow.name, null, 'kg/h', 'gap', 'linkDown'],
  [START_MS + 2000, flow.name, -0.5, 'kg/h', 'uncertain', null],
  [START_MS + 500, AWKWARD, 1, 'state', 'good', null],
];

describe('GET /api/history/export', () => {
  it.each(['csv', 'parquet'] as const)(
    'gives %s in which DuckDB finds every sample as it was',
    async (format) => {
      const asked = `series=${flow.name}&series=${encodeURIComponent(AWKWARD)}&${FROM_TO}&format=${format}`;
      const { rawPayload } = await fileOf(await appWithSamples(), asked);
      expect(await readByDuckDb(rawPayload, format, ROWS)).toEqual(EXPECTED);
    },
  );

  it('puts the one unit into the header, and ends each line as RFC 4180 says', async () => {
    const { body } = await fileOf(await appWithSamples(), `series=${flow.name}&${FROM_TO}&format=csv`);
    expect(body.split('\r\n').slice(0, 2)).toEqual([
      'time,series,value [kg/h],status,reason',
      `2026-03-02T06:00:00.000Z,${flow.name},9000.1,good,`,
    ]);
    expect(body.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  });

  it('names the file after its times, and says what it is', async () => {
    const { headers } = await fileOf(await appWithSamples(), `series=${flow.name}&${FROM_TO}&format=parquet`);
    expect(headers).toMatchObject({
      'content-type': 'application/vnd.apache.parquet',
      'content-disposition': 'attachment; filename="sievewright-20260302T060000Z-20260302T060100Z.parquet"',
    });
  });

  it('takes all series that begin alike, each once', async () => {
    const asked = `series=quillmarsh.*&series=${flow.name}&${FROM_TO}&format=csv`;
    const { rawPayload } = await fileOf(await appWithSamples(), asked);
    expect(await readByDuckDb(rawPayload, 'csv', 'SELECT count(*)::INTEGER FROM file')).toEqual([[3]]);
  });

  it('answers again and again: none is counted as under way when it is over', async () => {
    const app = await appWithSamples();
    for (let time = 0; time < 6; time += 1) await fileOf(app, `series=${flow.name}&${FROM_TO}&format=csv`);
  });

  it('refuses what it does not know before any of it is sent', async () => {
    const app = await appWithSamples();
    expect(await ask(app, `/api/history/export?series=nobody&${FROM_TO}&format=csv`)).toEqual({
      status: 404,
      body: {
        error:
          'REQUEST_UNKNOWN series: got nobody, expected the name of a series in the catalogue, or the beginning of one and *; nothing is exported',
      },
    });
    const { status, body } = await ask(app, `/api/history/export?series=${flow.name}&${FROM_TO}&format=xls`);
    expect(status).toBe(400);
    expect(body).toEqual({
      error:
        'REQUEST_INVALID query.format: got "xls", expected one of csv, parquet; mend it and send it again; /api/docs says what each request takes',
    });
  });
});
