import { describe, expect, it } from 'vitest';
import type { AlarmTransition } from '#server/contract/alarm-message.ts';
import { alarmMetrics } from '#server/alarms/alarm-metrics.ts';
import { metricVerdicts } from '#server/alarms/metric-verdicts.ts';
import { floodsIn, NO_FLOOD, stepFlood } from '#server/alarms/flood.ts';

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

function line(alarm: string, timeMs: number, more: Partial<AlarmTransition> = {}): AlarmTransition {
  return {
    alarm,
    line: 'a',
    machine: 'm',
    subject: 'a.m.value',
    timeMs,
    from: 'normal',
    to: 'unacknowledged',
    code: 'high',
    priority: 'low',
    by: null,
    params: {},
    ...more,
  };
}

describe('alarmMetrics', () => {
  it('is 144 a day, 6 an hour and 1 in ten minutes for 720 annunciations in 5 days (A1, IEC 62682)', () => {
    const journal = Array.from({ length: 720 }, (_, at) => line(`a.m.r${at % 50}`, at * 10 * MINUTE));
    const metrics = alarmMetrics(journal, [], { fromMs: 0, toMs: 5 * DAY });
    expect(metrics).toMatchObject({ perDay: 144, perHour: 6, perTenMinutes: 1, floodRatio: 0, floods: [] });
    expect(metrics.tenMinutesMax).toBe(2);
    expect(metrics.busyTenMinutesRatio).toBe(0);
  });

  it('finds that ten alarms made 30 % of 1000 (A5)', () => {
    const frequent = [50, 40, 35, 33, 30, 27, 25, 22, 20, 18];
    expect(frequent.reduce((sum, count) => sum + count)).toBe(300);
    const journal = [
      ...frequent.flatMap((count, at) => Array.from({ length: count }, () => line(`a.m.top${at}`, at))),
      ...Array.from({ length: 700 }, (_, at) => line(`a.m.r${at % 70}`, at)),
    ];
    const metrics = alarmMetrics(journal, [], { fromMs: 0, toMs: DAY });
    expect(metrics.topTenRatio).toBeCloseTo(0.3, 12);
    expect(metrics.topTen[0]).toEqual({ alarm: 'a.m.top0', count: 50 });
  });

  it('tells chattering, fleeting and stale alarms from decent ones', () => {
    const clear = (alarm: string, timeMs: number) =>
      line(alarm, timeMs, { from: 'unacknowledged', to: 'returned-unacknowledged' });
    const journal = [
      line('a.m.decent', 0),
      clear('a.m.decent', 10_000),
      line('a.m.fleeting', 20_000),
      clear('a.m.fleeting', 29_999),
      ...[100_000, 130_000, 160_000].map((timeMs) => line('a.m.chatter', timeMs)),
      ...[200_000, 230_000, 260_001].map((timeMs) => line('a.m.slow', timeMs)),
    ];
    const standing = (id: string, raisedMs: number) => ({
      id,
      line: 'a',
      machine: null,
      subject: 'a.m.s',
      code: 'high' as const,
      params: {},
      priority: 'low' as const,
      state: 'acknowledged' as const,
      raisedMs,
      clearedMs: null,
      acknowledged: null,
      consequences: [],
    });
    const span = { fromMs: 0, toMs: 2 * DAY };
    const metrics = alarmMetrics(journal, [standing('a.m.old', DAY - 1), standing('a.m.new', DAY)], span);
    expect(metrics).toMatchObject({
      chattering: ['a.m.chatter'],
      fleeting: ['a.m.fleeting'],
      stale: ['a.m.old'],
    });
  });

  it('takes the median time to acknowledge, of what a person acknowledged', () => {
    const acknowledge = (alarm: string, timeMs: number, by: string | null) =>
      line(alarm, timeMs, { from: 'unacknowledged', to: 'acknowledged', by });
    const journal = [
      line('a.m.a', 0),
      line('a.m.b', 0),
      line('a.m.c', 0),
      acknowledge('a.m.a', 10_000, 'Operator 1'),
      acknowledge('a.m.b', 30_000, 'Operator 1'),
      acknowledge('a.m.c', 90_000, null),
    ];
    expect(alarmMetrics(journal, [], { fromMs: 0, toMs: DAY }).acknowledgeMsMedian).toBe(20_000);
    expect(alarmMetrics([], [], { fromMs: 0, toMs: DAY }).acknowledgeMsMedian).toBeNull();
  });

  it('does not count what was withheld, and counts what asks again', () => {
    const journal = [
      line('a.m.a', 1, { to: 'suppressed-by-design' }),
      line('a.m.a', 2, { from: 'acknowledged' }),
      line('a.m.a', 3, { from: 'shelved' }),
      line('a.m.a', 4, { from: 'unacknowledged' }),
    ];
    expect(alarmMetrics(journal, [], { fromMs: 0, toMs: DAY }).annunciations).toBe(2);
  });

  it('refuses an empty span', () => {
    expect(() => alarmMetrics([], [], { fromMs: 5, toMs: 5 })).toThrow(
      'FIGURE_INPUT alarmMetrics.span [ms]: got 0, expected > 0',
    );
  });
});

describe('metricVerdicts', () => {
  const unmet = (journal: readonly AlarmTransition[]) =>
    metricVerdicts(alarmMetrics(journal, [], { fromMs: 0, toMs: 5 * DAY }))
      .filter(({ isMet }) => !isMet)
      .map(({ metric }) => metric);

  it('finds 144 a day just acceptable (A1), and 145 too many', () => {
    const spread = (count: number) =>
      Array.from({ length: count }, (_, at) => line(`a.m.r${at % 300}`, Math.floor((at * 5 * DAY) / count)));
    expect(unmet(spread(720))).toEqual([]);
    expect(unmet(spread(725))).toEqual(['perDay', 'perHour', 'perTenMinutes']);
  });

  it('finds ten alarms that make 30 % (A5) far too many, and everything urgent not urgent', () => {
    const journal = Array.from({ length: 100 }, (_, at) =>
      line(at < 30 ? `a.m.top${at % 10}` : `a.m.r${at}`, at * 60 * MINUTE, { priority: 'critical' }),
    );
    expect(unmet(journal)).toEqual(['topTenRatio', 'criticalRatio']);
  });
});

describe('floodsIn', () => {
  const eleven = Array.from({ length: 11 }, (_, at) => at * MINUTE);

  it('starts at the 11th of 11 alarms from 0 to 10 min and ends when fewer than 5 are in the last ten (A2)', () => {
    expect(floodsIn(eleven, 60 * MINUTE)).toEqual([
      { startMs: 10 * MINUTE, endMs: 16 * MINUTE + 1, count: 1 },
    ]);
  });

  it('does not start with ten', () => {
    expect(floodsIn(eleven.slice(1), 60 * MINUTE)).toEqual([]);
  });

  it('starts with ten where the plant says so', () => {
    const limits = { windowMs: 10 * MINUTE, startsAbove: 9, endsBelow: 5 };
    expect(floodsIn(eleven.slice(1), 60 * MINUTE, limits)).toHaveLength(1);
  });

  it('lasts while it lasts', () => {
    expect(floodsIn(eleven, 12 * MINUTE)[0]?.endMs).toBeNull();
  });

  it('is the same tick by tick as all at once', () => {
    const times = Array.from({ length: 300 }, (_, at) => ((at * 7919) % 3600) * 1000 + 1).sort(
      (a, b) => a - b,
    );
    const starts: number[] = [];
    const ends: number[] = [];
    let state = NO_FLOOD;
    for (let nowMs = 250; nowMs <= 2 * 3_600_000; nowMs += 250) {
      const annunciatedMs = times.filter((timeMs) => timeMs > nowMs - 250 && timeMs <= nowMs);
      const step = stepFlood(state, { annunciatedMs, nowMs });
      if (step.startedMs !== null) starts.push(step.startedMs);
      if (step.endedMs !== null) ends.push(step.endedMs);
      state = step.state;
    }
    const floods = floodsIn(times, 2 * 3_600_000);
    expect(floods.length).toBeGreaterThan(0);
    expect(starts).toEqual(floods.map(({ startMs }) => startMs));
    expect(ends).toEqual(floods.map(({ endMs }) => endMs));
  });
});
