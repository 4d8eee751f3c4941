import { describe, expect, it } from 'vitest';
import type { BalanceReport } from '#server/contract/balance-report.ts';
import { FigureDesk } from '#server/pipeline/figure-desk.ts';
import { lotFrom, ranWhole, readingsOf, STEADY, wholeSetup } from '#tests/line/whole-line.ts';
import { appOf, ask } from './http-app.ts';
import { webHouse } from './web-fixture.ts';

const BALANCE: BalanceReport = {
  ...{ line: 'w', fromMs: 0, toMs: 1_200_000, verdict: 'instrument', sinceMs: 900_000 },
  suspects: [{ stream: 'feed', tag: 'w.pit.flow', errorRatio: 0.021, errorRatioUncertainty: 0.003 }],
  ...{ closureRatio: 0.02, statistic: 60, critical: 15, streams: [] },
};

/** A desk that has heard of one tick of the whole line. */
function desk(): FigureDesk {
  const setup = wholeSetup();
  const { state, input } = ranWhole(setup, readingsOf(STEADY, 120), { lot: lotFrom(0) });
  const told = new FigureDesk([setup]);
  told.take({ lines: new Map([['w', state]]), inputs: new Map([['w', input]]) });
  return told;
}

describe('GET /api/figures/:id/provenance', () => {
  it('answers formula, inputs and what makes the figure uncertain', async () => {
    const app = await appOf(webHouse({ figures: desk() }));
    const { status, body } = await ask(app, '/api/figures/w.line.yield/provenance');
    expect(status).toBe(200);
    expect(body).toMatchObject({
      formula: 'clean-over-feed',
      figure: { id: 'w.line.yield', because: null },
      inputs: [
        { role: 'feed', tag: 'w.pit.flow', error: { toleranceRatio: 0.0025 } },
        { role: 'clean', tag: 'w.table.flow' },
      ],
    });
  });

  it('says that there is no such figure', async () => {
    const app = await appOf(webHouse({ figures: desk() }));
    expect(await ask(app, '/api/figures/w.line.glory/provenance')).toEqual({
      status: 404,
      body: {
        error:
          'REQUEST_UNKNOWN figure: got w.line.glory, expected a figure of /api/plant, after the first tick; correct the id, or ask again in a second',
      },
    });
  });
});

describe('GET /api/balances', () => {
  it('answers the newest balance of each line, and nothing before the first', async () => {
    const figures = { explained: () => null, balances: () => [BALANCE], lags: () => [] };
    expect(await ask(await appOf(webHouse({ figures })), '/api/balances')).toEqual({
      status: 200,
      body: [BALANCE],
    });
    expect(await ask(await appOf(webHouse()), '/api/balances')).toEqual({ status: 200, body: [] });
  });
});
