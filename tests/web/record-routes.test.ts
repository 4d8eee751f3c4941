import { describe, expect, it } from 'vitest';
import { RECORDS_MAX } from '#server/web/routes/record-page.ts';
import type { WebApp } from '#server/web/web-house.ts';
import { aHandSample, aLot, aMark, MINUTE_MS, said, SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { webHouse } from './web-fixture.ts';
import { appOf, ask, HERE } from './http-app.ts';

const HOUR = `fromMs=${SHIFT_START_MS}&toMs=${SHIFT_START_MS + 60 * MINUTE_MS}`;
const LATER = `fromMs=${SHIFT_START_MS + 600 * MINUTE_MS}&toMs=${SHIFT_START_MS + 660 * MINUTE_MS}`;

const asked = (app: WebApp, url: string) => app.inject({ url, headers: HERE });

async function fullHouse() {
  const house = webHouse();
  const { records } = house;
  await records.startLot(aLot(), said(1));
  await records.endLot('line-1', said(50));
  await records.startShift('line-1', 'early', said(0));
  await records.startShift('line-1', 'late', said(480));
  await records.writeMark(aMark(), said(2));
  await records.recordHandSample(aHandSample(), said(3));
  return house;
}

describe('what is kept beside samples', () => {
  it.each([
    ['/api/lots', 'lots'],
    ['/api/marks', 'marks'],
    ['/api/hand-samples', 'handSamples'],
  ] as const)('is answered by %s as the store has it, and not outside the range', async (address, read) => {
    const house = await fullHouse();
    const app = await appOf(house);
    const stored = await house.records[read]({ fromMs: 0, toMs: Number.MAX_SAFE_INTEGER });
    expect(stored).toHaveLength(1);
    expect(await ask(app, `${address}?${HOUR}`)).toEqual({ status: 200, body: stored });
    expect(await ask(app, `${address}?${LATER}`)).toEqual({ status: 200, body: [] });
  });

  it('is answered for the shifts that ran in the range', async () => {
    const app = await appOf(await fullHouse());
    expect((await ask(app, `/api/shifts?${LATER}`)).body).toMatchObject([{ name: 'late', endedMs: null }]);
  });

  it.each(['/api/lots', '/api/shifts', '/api/marks', '/api/hand-samples'])(
    'is answered by %s page by page along the links, each entry once',
    async (address) => {
      const house = webHouse();
      const { records } = house;
      for (let minute = 0; minute < 7; minute += 1) {
        await records.startLot(aLot({ number: `QM-${minute}` }), said(minute));
        await records.startShift('line-1', `shift ${minute}`, said(minute));
        // Two speak of one instant: only their ids tell them apart.
        await records.writeMark(aMark({ timeMs: said(minute >> 1).timeMs }), said(minute));
        await records.recordHandSample(aHandSample({ takenMs: said(minute >> 1).timeMs }), said(minute));
      }
      const app = await appOf(house);
      const all = (await ask(app, `${address}?${HOUR}`)).body as readonly object[];
      expect(all).toHaveLength(7);
      const read: object[] = [];
      let url: string | undefined = `${address}?${HOUR}&limit=3`;
      const sizes: number[] = [];
      while (url !== undefined) {
        const answer: Awaited<ReturnType<typeof asked>> = await asked(app, url);
        const page = answer.json<object[]>();
        read.push(...page);
        sizes.push(page.length);
        url = /^<([^>]+)>; rel="next"$/.exec(String(answer.headers['link']))?.[1];
      }
      expect(sizes).toEqual([3, 3, 1]);
      expect(read).toEqual(all);
    },
  );

  it('is refused in one piece when it is too much, and says how to get it', async () => {
    const house = webHouse();
    const one = await house.records.writeMark(aMark(), said(1));
    const marks = Array.from({ length: RECORDS_MAX + 1 }, (_, id) => ({ ...one, id }));
    house.records.marks = ({ limit }) => Promise.resolve(marks.slice(0, limit));
    const app = await appOf(house);
    expect(await ask(app, `/api/marks?${HOUR}`)).toEqual({
      status: 400,
      body: {
        error:
          'REQUEST_INVALID query range [entries]: got more than 5000, expected <= 5000; ask for a shorter time, or page by page with limit=5000',
      },
    });
    expect((await ask(app, `/api/marks?${HOUR}&limit=5000`)).body).toHaveLength(RECORDS_MAX);
    expect((await ask(app, `/api/marks?${HOUR}&limit=5001`)).status).toBe(400);
    expect((await ask(app, `/api/marks?${HOUR}&after=yesterday`)).status).toBe(400);
  });

  it('needs a range', async () => {
    const app = await appOf(await fullHouse());
    const { status, body } = await ask(app, '/api/lots?fromMs=0');
    expect(status).toBe(400);
    expect(body).toEqual({
      error:
        'REQUEST_INVALID query.toMs: got nothing, expected a value; mend it and send it again; ' +
        '/api/docs says what each request takes',
    });
  });
});
