import { describe, expect, it } from 'vitest';
import { Check } from 'typebox/value';
import { HealthSchema } from '#server/contract/health.ts';
import { newestState } from '#server/web/live/newest-state.ts';
import { SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { standingClock, update, webHouse } from './web-fixture.ts';
import { appOf, ask } from './http-app.ts';

const RECORDING = { isRecording: true, sinceMs: 0, waitingCount: 0, lostCount: 0, because: null };
const FULL = 'HISTORY_UNWRITABLE disk: got full, expected room; make some';

async function watched() {
  const clock = standingClock();
  const newest = newestState(clock);
  const app = await appOf(webHouse({ clock, newest }));
  const health = async () => {
    const answer = await ask(app, '/api/health');
    expect(Check(HealthSchema, answer.body)).toBe(true);
    return answer;
  };
  return { clock, newest, health };
}

describe('GET /api/health', () => {
  it('is live but not ready before the first tick', async () => {
    const { health } = await watched();
    expect(await health()).toMatchObject({
      status: 503,
      body: {
        isLive: true,
        isReady: false,
        because: ['TICK_LATE pipeline: got no tick yet, expected one every 250 ms; the server is starting'],
        lastTickMs: null,
      },
    });
  });

  it('is live and ready while ticks come and readings are kept', async () => {
    const { newest, health } = await watched();
    newest.take(update({ recording: RECORDING }));
    const body = {
      isLive: true,
      isReady: true,
      because: [],
      lastTickMs: SHIFT_START_MS,
      recording: RECORDING,
    };
    expect(await health()).toMatchObject({ status: 200, body });
  });

  it('is live but not ready while readings are not kept, and says why', async () => {
    const { newest, health } = await watched();
    newest.take(update({ recording: { ...RECORDING, isRecording: false, because: FULL } }));
    expect(await health()).toMatchObject({
      status: 503,
      body: { isLive: true, isReady: false, because: [FULL] },
    });
  });

  it('is not live once no tick has come for more than five seconds', async () => {
    const { newest, clock, health } = await watched();
    newest.take(update({ recording: RECORDING }));
    clock.move(5000);
    expect((await health()).status).toBe(200);
    clock.move(1);
    expect(await health()).toMatchObject({
      status: 503,
      body: {
        isLive: false,
        isReady: false,
        because: [
          'TICK_LATE pipeline: got no tick for 5 s, expected one every 250 ms; restart the server; ' +
            'its log says what stopped it',
        ],
      },
    });
  });

  it('stays well while the plant does not answer: that is the plant’s trouble, and is told beside', async () => {
    const { newest, health } = await watched();
    const link = {
      endpoint: 'plc',
      url: 'opc.tcp://x',
      state: 'lost',
      sinceMs: 0,
      lastHeardMs: null,
      clockOffsetMs: null,
      because: 'LINK_DOWN',
    } as const;
    newest.take(update({ recording: RECORDING, links: [link] }));
    expect(await health()).toMatchObject({ status: 200, body: { isReady: true, links: [link] } });
  });
});
