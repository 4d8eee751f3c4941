import { describe, expect, it } from 'vitest';
import { aHandSample, aLot, aMark, MINUTE_MS, said, SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { webHouse } from './web-fixture.ts';
import { appOf, ask } from './http-app.ts';

const HOUR = `fromMs=${SHIFT_START_MS}&toMs=${SHIFT_START_MS + 60 * MINUTE_MS}`;
const LATER = `fromMs=${SHIFT_START_MS + 600 * MINUTE_MS}&toMs=${SHIFT_START_MS + 660 * MINUTE_MS}`;

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
