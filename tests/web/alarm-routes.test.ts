import { describe, expect, it } from 'vitest';
import type { JournalPage } from '#server/contract/alarm-journal.ts';
import { anAlarm, aTransition, MINUTE_MS, SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { alarmStudy } from '#server/study/alarm-study.ts';
import { SMALL_RULES } from '#tests/study/bare-config.ts';
import { SMALL_CONFIG } from '#tests/study/small-config.ts';
import { appOf, ask, HERE } from './http-app.ts';
import { update, webHouse } from './web-fixture.ts';

const atMinute = (minute: number) => SHIFT_START_MS + minute * MINUTE_MS;
const HOUR = `fromMs=${SHIFT_START_MS}&toMs=${atMinute(60)}`;
const FEED = { alarm: 'line-1.line.feed-low', machine: null, subject: 'line-1.line.feed-rate' };

/** Five entries: a stop, its acknowledgement and end, a feed alarm, and a shelving. */
async function journalled() {
  const house = webHouse();
  await house.records.journalAlarms(
    [
      aTransition({ timeMs: atMinute(1) }),
      aTransition({ timeMs: atMinute(2), from: 'unacknowledged', to: 'acknowledged', by: 'Ada' }),
      aTransition({ timeMs: atMinute(3), from: 'acknowledged', to: 'normal' }),
      aTransition({ timeMs: atMinute(4), ...FEED, code: 'low', priority: 'low' }),
      aTransition({
        timeMs: atMinute(5),
        ...FEED,
        from: 'unacknowledged',
        to: 'shelved',
        priority: 'low',
        by: 'Bo',
        reason: '=the "pit", as said',
        untilMs: atMinute(65),
        params: { value: { value: 8200.5, unit: 'kg/h' }, limit: { value: 8500, unit: 'kg/h' } },
      }),
    ],
    [],
  );
  return { house, app: await appOf(house) };
}

describe('GET /api/alarms', () => {
  it('answers the alarms that are not normal', async () => {
    const house = webHouse();
    house.newest.take(update({ alarms: [anAlarm(), anAlarm({ id: 'other' })] }));
    house.newest.take(update({ alarms: [anAlarm({ id: 'other', state: 'normal' })] }));
    expect(await ask(await appOf(house), '/api/alarms')).toEqual({ status: 200, body: [anAlarm()] });
  });
});

describe('GET /api/alarms/journal', () => {
  it('answers what happened in the range, oldest first, and nothing of another time', async () => {
    const { app, house } = await journalled();
    const stored = await house.records.alarmJournal({ fromMs: 0, toMs: atMinute(60) });
    expect((await ask(app, `/api/alarms/journal?${HOUR}`)).body).toMatchObject(stored);
    const later = `fromMs=${atMinute(600)}&toMs=${atMinute(660)}`;
    expect((await ask(app, `/api/alarms/journal?${later}`)).body).toEqual([]);
  });
});

describe('GET /api/alarms/journal/search', () => {
  it('answers newest first, page after page, each entry once', async () => {
    const { app, house } = await journalled();
    const read: number[] = [];
    let after = '';
    for (let pages = 0; pages < 3; pages += 1) {
      const { body } = await ask(app, `/api/alarms/journal/search?${HOUR}&limit=2${after}`);
      const page = body as JournalPage;
      read.push(...page.entries.map(({ id }) => id));
      after = page.next === null ? 'none' : `&after=${page.next}`;
    }
    expect(after).toBe('none');
    expect(read).toEqual([5, 4, 3, 2, 1]);
    expect(await house.records.alarmJournal({ fromMs: 0, toMs: atMinute(60) })).toHaveLength(5);
  });

  it.each([
    ['machine=destoner', [3, 2, 1]],
    ['alarm=line-1.line.feed-low', [5, 4]],
    ['priority=low', [5, 4]],
    ['to=unacknowledged', [4, 1]],
    ['by=Ada', [2]],
    ['by=', [4, 3, 1]],
    ['text=PIT', [5]],
    ['text=destoner.running', [3, 2, 1]],
    ['line=line-2', []],
    ['text=feed&to=shelved', [5]],
  ])('finds with %s what fits, and nothing else', async (filter, ids) => {
    const { app } = await journalled();
    const { body } = await ask(app, `/api/alarms/journal/search?${HOUR}&${filter}`);
    const { entries, next } = body as JournalPage;
    expect(entries.map(({ id }) => id)).toEqual(ids);
    expect(next).toBeNull();
  });

  it('looks through a journal of several slices', async () => {
    const house = webHouse();
    const many = Array.from({ length: 2500 }, (_, index) =>
      aTransition({ timeMs: SHIFT_START_MS + index, by: index === 7 ? 'Ada' : null }),
    );
    await house.records.journalAlarms(many, []);
    const { body } = await ask(await appOf(house), `/api/alarms/journal/search?${HOUR}&by=Ada`);
    expect((body as JournalPage).entries.map(({ id }) => id)).toEqual([8]);
  });

  it.each([
    [
      `${HOUR}&after=yesterday`,
      'REQUEST_INVALID query.after: got "yesterday", expected the "next" of a page; leave it out for the newest entries',
    ],
    [
      `${HOUR}&limit=1001`,
      'REQUEST_INVALID query.limit: got 1001, expected <= 1000; mend it and send it again; /api/docs says what each request takes',
    ],
  ])('refuses %s and says what to do', async (query, error) => {
    const { app } = await journalled();
    const refused = await ask(app, `/api/alarms/journal/search?${query}`);
    expect(refused).toEqual({ status: 400, body: { error } });
  });
});

describe('GET /api/alarms/journal/export', () => {
  it('is CSV after RFC 4180, oldest first, with no cell that a spreadsheet would run', async () => {
    const { app } = await journalled();
    const answer = await app.inject({
      url: `/api/alarms/journal/export?${HOUR}`,
      headers: HERE,
    });
    expect(answer.headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(answer.headers['content-disposition']).toBe(
      'attachment; filename="alarm-journal-2026-09-14T0600-to-2026-09-14T0700.csv"',
    );
    const lines = answer.body.split('\r\n');
    expect(lines).toHaveLength(7);
    expect(lines[0]).toBe(
      'id,time,line,machine,alarm,subject,code,priority,from,to,by,value,limit,unit,reason,until',
    );
    expect(lines[1]).toBe(
      '1,2026-09-14T06:01:00.000Z,line-1,destoner,line-1.destoner.stopped,line-1.destoner.running,machine-stopped,high,normal,unacknowledged,,,,,,',
    );
    expect(lines[5]).toBe(
      `5,2026-09-14T06:05:00.000Z,line-1,,line-1.line.feed-low,line-1.line.feed-rate,machine-stopped,low,unacknowledged,shelved,Bo,8200.5,8500,kg/h,"'=the ""pit"", as said",2026-09-14T07:05:00.000Z`,
    );
  });

  it('holds what fits alone', async () => {
    const { app } = await journalled();
    const url = `/api/alarms/journal/export?${HOUR}&to=acknowledged`;
    const { body } = await app.inject({ url, headers: HERE });
    expect(body.split('\r\n')).toHaveLength(3);
  });
});

describe('GET /api/alarms/catalogue', () => {
  it('answers rules with their subject, and cards with the priority that follows from the matrix', async () => {
    const { app } = await journalled();
    const { body } = await ask(app, '/api/alarms/catalogue');
    expect(body).toMatchObject({
      rules: SMALL_RULES.rules.map((rule) => ({ id: rule.id, rule })),
      cards: { critical: { priority: 'critical' }, low: { priority: 'low', actions: ['act'] } },
      suppressions: [],
      shelvedMsMax: 43_200_000,
    });
  });
});

describe('GET /api/alarms/measures', () => {
  it('answers the numbers of the time beside their targets, of one line where one is named', async () => {
    const { app } = await journalled();
    const { body } = await ask(app, `/api/alarms/measures?${HOUR}`);
    // By hand: the stop and the feed asked, in one hour; the stop was acknowledged after a minute.
    expect(body).toMatchObject({
      annunciations: 2,
      perHour: 2,
      perDay: 48,
      byPriority: { high: 1, low: 1 },
      acknowledgeMsMedian: 60_000,
      acknowledgeMsP95: 60_000,
      floods: [],
    });
    expect(body).toHaveProperty('verdicts.0', { metric: 'perDay', value: 48, targetMax: 144, isMet: true });
    expect((await ask(app, `/api/alarms/measures?${HOUR}&line=line-2`)).body).toMatchObject({
      annunciations: 0,
    });
  });

  it('answers the same of each shift, the newest first and the running one until now', async () => {
    const { house, app } = await journalled();
    const by = (minute: number) => ({
      actor: { id: 'calendar', role: 'engineer' as const },
      timeMs: atMinute(minute),
    });
    await house.records.startShift('line-1', 'Early', by(-2));
    await house.records.startShift('line-1', 'Late', by(2.5));
    const range = `fromMs=${atMinute(-60)}&toMs=${atMinute(60)}`;
    expect((await ask(app, `/api/alarms/measures/shifts?${range}`)).body).toMatchObject([
      { name: 'Early', measures: { annunciations: 1, fromMs: atMinute(-2), toMs: atMinute(2.5) } },
    ]);
    const later = webHouse({
      records: house.records,
      clock: { nowMs: () => atMinute(10), every: () => () => undefined },
    });
    expect((await ask(await appOf(later), `/api/alarms/measures/shifts?${range}`)).body).toMatchObject([
      { name: 'Late', measures: { annunciations: 1, toMs: atMinute(10) } },
      { name: 'Early', measures: { annunciations: 1 } },
    ]);
  });
});

describe('POST /api/alarms/replay', () => {
  const replay = async (body: object) => {
    const house = webHouse();
    const alarms = alarmStudy({ ...house, config: SMALL_CONFIG });
    const answer = await (
      await appOf({ ...house, alarms })
    ).inject({
      method: 'POST',
      url: '/api/alarms/replay',
      headers: { ...HERE, 'content-type': 'application/json' },
      payload: JSON.stringify(body),
    });
    return { status: answer.statusCode, body: answer.json<unknown>() };
  };
  const range = { fromMs: SHIFT_START_MS, toMs: atMinute(60) };

  it('answers what the rules would have done, and what it knows nothing of', async () => {
    const { status, body } = await replay({ ...range, proposal: 'without: [s.pit.overfed]' });
    const nothing = { annunciations: 0, stoodBefore: [], tenMinutesMax: 0, occurrences: [], isCut: false };
    expect(status).toBe(200);
    expect(body).toEqual({
      ...range,
      rules: ['s.pit.overfed'],
      withoutHistory: ['s.pit.flow'],
      samples: 0,
      cost: [{ alarm: 's.pit.overfed', inForce: 0, proposed: 0 }],
      inForce: nothing,
      proposed: nothing,
    });
  });

  it.each([
    [
      { ...range, proposal: 'rules: [' },
      'CONFIG_SYNTAX proposal:1: got Flow sequence in block collection must be sufficiently indented and end with a ], expected YAML; mend that line; nothing was replayed',
    ],
    [
      { ...range, proposal: '' },
      'REQUEST_INVALID body.proposal: got "", expected at least 1 characters; mend it and send it again; /api/docs says what each request takes',
    ],
    [
      { fromMs: 5, toMs: 5, proposal: 'rules: []' },
      'REQUEST_INVALID query.toMs: got 5, expected > fromMs, which is 5; ask for a range whose end comes after its start',
    ],
  ])('refuses %j with the place and the remedy', async (body, error) => {
    expect(await replay(body)).toEqual({ status: 400, body: { error } });
  });
});
