import { describe, expect, it } from 'vitest';
import { alarm, figure, PLANT, reading, update, webHouse } from './web-fixture.ts';
import { appOf, ask } from './http-app.ts';
import { SHIFT_START_MS } from '#tests/support/record-builders.ts';

const NOT_YET = {
  error:
    'TICK_LATE pipeline: got no tick yet, expected a first tick; the server is starting; ask again in a second',
};

describe('GET /api/plant', () => {
  it('answers the plant as it was given, not to be kept by the browser', async () => {
    const app = await appOf(webHouse());
    const answer = await app.inject({ url: '/api/plant', headers: { host: 'localhost' } });
    expect(answer.json()).toEqual(PLANT);
    expect(answer.headers['cache-control']).toBe('no-store');
  });
});

describe('GET /api/now', () => {
  it('says that nothing is known before the first tick, instead of an empty plant', async () => {
    const app = await appOf(webHouse());
    expect(await ask(app, '/api/now')).toEqual({ status: 503, body: NOT_YET });
    expect(await ask(app, '/api/alarms')).toEqual({ status: 503, body: NOT_YET });
  });

  it('answers the newest of everything, whoever watches what', async () => {
    const house = webHouse();
    house.newest.take(update({ figures: [figure('line-1.line.yield', 0.91)], readings: [reading('a', 1)] }));
    house.newest.take(
      update({ figures: [figure('line-1.line.yield', null)], alarms: [alarm('x', 'unacknowledged')] }),
    );
    const { status, body } = await ask(await appOf(house), '/api/now');
    expect(status).toBe(200);
    expect(body).toMatchObject({
      figures: [{ id: 'line-1.line.yield', value: null, because: 'line-stopped' }],
      readings: [{ tag: 'a', timeMs: [SHIFT_START_MS], value: [1], quality: null }],
      alarms: [{ id: 'x', state: 'unacknowledged' }],
      recording: { isRecording: false },
    });
  });
});
