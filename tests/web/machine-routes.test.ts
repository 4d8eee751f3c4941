import { afterEach, describe, expect, it } from 'vitest';
import type { MachinesAnswer, MachineStanding } from '#server/contract/machine-standing.ts';
import type { MachineWatch } from '#server/ports/machine-watch.ts';
import { buildApp } from '#server/web/build-app.ts';
import type { WebApp } from '#server/web/web-house.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { aFindingEntry, said, SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { webHouse } from './web-fixture.ts';

const { finding } = aFindingEntry();

function aStanding(changes: Partial<MachineStanding> = {}): MachineStanding {
  return {
    machine: 'air-screen-fan',
    name: 'Air-screen fan',
    line: 'a',
    partOf: 'air-screen',
    kind: 'fan',
    regime: 'running',
    baseline: null,
    signals: [],
    checks: [],
    finding,
    concern: 4,
    days: [],
    ...changes,
  };
}

const ANSWER: MachinesAnswer = {
  machines: [aStanding(), aStanding({ machine: 'sizer', name: '=Sizer', finding: null, concern: 0 })],
  common: [],
  watchedUntilMs: SHIFT_START_MS,
  causes: [{ cause: 'bearing-wear', name: 'Bearing wears', why: 'it rubs', check: 'listen, "locked out"' }],
};

const WATCH: MachineWatch = {
  standing: () => Promise.resolve(ANSWER),
  page: (machine) =>
    Promise.resolve(
      machine === 'air-screen-fan'
        ? { standing: aStanding(), courses: [], startUps: [], baselines: [], entries: [], marks: [] }
        : null,
    ),
  learn: () => Promise.reject(new Error('learning is a command')),
};

describe('the routes of machines', () => {
  let app: WebApp | undefined;
  afterEach(() => app?.close());

  async function get(url: string, changes: Parameters<typeof webHouse>[0] = { machines: WATCH }) {
    app = await buildApp(webHouse(changes));
    return await app.inject({ url, headers: { host: '127.0.0.1' } });
  }

  it('answer all machines in the order of the watch', async () => {
    const answer = await get('/api/machines');
    expect(answer.statusCode).toBe(200);
    expect(answer.json()).toEqual(ANSWER);
  });

  it('answer one machine, and say which they know when it is not there', async () => {
    expect((await get('/api/machines/air-screen-fan?fromMs=0&toMs=5')).json()).toMatchObject({
      standing: { machine: 'air-screen-fan' },
    });
    const unknown = await get('/api/machines/pump?fromMs=0&toMs=5');
    expect(unknown.statusCode).toBe(404);
    expect(unknown.body).toContain(
      'REQUEST_UNKNOWN machine: got pump, expected a machine that /api/machines lists',
    );
  });

  it('refuse a time that ends before it begins', async () => {
    expect((await get('/api/machines/air-screen-fan?fromMs=5&toMs=5')).statusCode).toBe(400);
  });

  it('give the work list away, one line a machine that has a finding, quoted and set off from formulas', async () => {
    const { body, headers } = await get('/api/machines/work-list');
    const [heading, fan, ...rest] = body.split('\r\n');
    expect(headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(heading).toBe(
      '"machine","found","since","signals","possible cause","certainty","check","due from","due","due until"',
    );
    expect(fan).toBe(
      '"Air-screen fan","2026-09-14T06:00:00.000Z","2026-09-13T06:00:00.000Z","vibration high","Bearing wears","possible","listen, ""locked out""","","",""',
    );
    expect(rest).toEqual(['']);
    const named = {
      ...WATCH,
      standing: () => Promise.resolve({ ...ANSWER, machines: [aStanding({ name: '=1+1' })] }),
    };
    expect((await get('/api/machines/work-list', { machines: named })).body).toContain('" =1+1"');
  });

  it('answer what was found in a time, from the records', async () => {
    const records = memoryRecordStore();
    const entry = await records.writeFinding(aFindingEntry(), said(0));
    const url = `/api/machines/findings?fromMs=${SHIFT_START_MS}&toMs=${SHIFT_START_MS + 1}`;
    expect((await get(url, { machines: WATCH, records })).json()).toEqual([entry]);
  });

  it('say what to do when the plant names no machines to watch', async () => {
    const answer = await get('/api/machines', {});
    expect(answer.statusCode).toBe(404);
    expect(answer.body).toContain('name the file and start the server again');
  });
});
