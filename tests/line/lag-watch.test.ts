import { describe, expect, it } from 'vitest';
import type { LagReport } from '#server/contract/lag-report.ts';
import type { LineGraph } from '#server/contract/line-graph.ts';
import type { Reading } from '#server/contract/reading.ts';
import { emptyTrack, withReading, type FlowTrack } from '#server/line/flow-track.ts';
import { lagPairs } from '#server/line/lag-pairs.ts';
import { NO_LAGS_YET, stepLagWatch, type LagWatch } from '#server/line/lag-watch.ts';
import { lineLayout } from '#server/line/line-layout.ts';
import { reading, steady as readingsOf } from '#tests/line/demo-readings.ts';
import { ran, SMALL_GRAPH, smallSetup } from '#tests/line/small-line.ts';

const STEP_MS = 5000;
const HOUR_MS = 3_600_000;
const FLOWS = ['s.pit.flow', 's.cleaner.screenings', 's.table.lights', 's.table.clean-flow'];

/** 10,000 kg/h that goes to another level every quarter of an hour, or stays where it is. */
const changing = (timeMs: number) => [10_000, 12_000, 9000, 11_000][Math.floor(timeMs / 900_000) % 4] ?? 0;
const steady = () => 10_000;

interface Run {
  readonly feed: (timeMs: number) => number;
  /** How late the streams really follow. */
  readonly lagMs: number;
  readonly hours?: number;
  readonly graph?: LineGraph;
  readonly more?: readonly Reading[];
}

/** Two hours of a small line whose rejects and clean seed follow the feed. */
function watched({ feed, lagMs, hours = 2, graph = SMALL_GRAPH, more = [] }: Run): LagWatch {
  const setup = smallSetup(graph);
  const tracks = new Map<string, FlowTrack>();
  const latest = new Map<string, Reading>();
  let watch = NO_LAGS_YET;
  for (let timeMs = 0; timeMs <= hours * HOUR_MS; timeMs += STEP_MS) {
    for (const tag of FLOWS) {
      const seen = reading(tag, timeMs, flowOf(tag, timeMs, { feed, lagMs }));
      tracks.set(tag, withReading(tracks.get(tag) ?? emptyTrack(false), seen, 20_000));
    }
    for (const each of more) if (each.sourceTimeMs <= timeMs) latest.set(each.tag, each);
    const frame = { endMs: timeMs, tickMs: STEP_MS, readings: [], latest: new Map(latest) };
    watch = stepLagWatch(watch, { setup, frame, tracks });
  }
  return watch;
}

function flowOf(tag: string, timeMs: number, { feed, lagMs }: Pick<Run, 'feed' | 'lagMs'>): number {
  if (tag === 's.pit.flow') return feed(timeMs);
  const share: Record<string, number> = { 's.cleaner.screenings': 0.04, 's.table.lights': 0.06 };
  return feed(Math.max(0, timeMs - lagMs)) * (share[tag] ?? 0.9);
}

const reportOf = (watch: LagWatch, stream: string): LagReport | undefined => watch.reports.get(stream);

describe('lagPairs', () => {
  it('counts every weighed stream from the feed where no bin lies between', () => {
    const pairs = lagPairs(SMALL_GRAPH, lineLayout(SMALL_GRAPH));
    expect(pairs.map(({ stream, from }) => `${from.id} ${stream.id}`)).toEqual([
      'feed clean',
      'feed screenings',
      'feed lights',
    ]);
    expect(pairs[0]?.between.map(({ id }) => id)).toEqual(['raw', 'cleaned', 'clean']);
  });

  it('begins anew behind a bin, because a bin swallows what the feed does', () => {
    const machines = SMALL_GRAPH.machines.map((each) =>
      each.id === 'cleaner' ? { ...each, kind: 'bin' as const } : each,
    );
    const streams = SMALL_GRAPH.streams.map((each) =>
      each.id === 'cleaned' ? { ...each, massFlowTag: 's.cleaner.out' } : each,
    );
    const graph = { ...SMALL_GRAPH, machines, streams };
    const pairs = lagPairs(graph, lineLayout(graph));
    expect(pairs.map(({ stream, from }) => `${from.id} ${stream.id}`)).toContain('cleaned clean');
    expect(pairs.map(({ stream, from }) => `${from.id} ${stream.id}`)).not.toContain('feed clean');
  });

  it('leaves out what nobody weighs', () => {
    const streams = SMALL_GRAPH.streams.map((each) => ({ ...each, massFlowTag: null }));
    const graph = { ...SMALL_GRAPH, streams };
    expect(lagPairs(graph, lineLayout(graph))).toEqual([]);
  });
});

describe('stepLagWatch', () => {
  it('says that the configured 30 s agree with streams that follow after 30 s', () => {
    const report = reportOf(watched({ feed: changing, lagMs: 30_000 }), 'clean');
    expect(report).toMatchObject({ verdict: 'agrees', because: null, from: 'feed', configuredMs: 30_000 });
    expect(Math.abs((report?.estimatedMs ?? NaN) - 30_000)).toBeLessThan(2500);
    expect(report?.correlation).toBeGreaterThan(0.95);
  });

  it('says that the configured 30 s disagree with streams that follow after 60 s', () => {
    const report = reportOf(watched({ feed: changing, lagMs: 60_000 }), 'clean');
    expect(report).toMatchObject({ verdict: 'disagrees', configuredMs: 30_000 });
    expect(Math.abs((report?.estimatedMs ?? NaN) - 60_000)).toBeLessThan(2500);
  });

  it('lets a configured lag be as wrong as the configuration says that it may be', () => {
    const streams = SMALL_GRAPH.streams.map((each) =>
      each.id === 'clean' ? { ...each, transportErrorMs: 40_000 } : each,
    );
    const graph = { ...SMALL_GRAPH, streams };
    expect(reportOf(watched({ feed: changing, lagMs: 60_000, graph }), 'clean')?.verdict).toBe('agrees');
  });

  it('does not know yet with a feed that never changes', () => {
    const report = reportOf(watched({ feed: steady, lagMs: 60_000 }), 'clean');
    expect(report).toMatchObject({
      verdict: 'not-known-yet',
      because: 'feed-too-steady',
      estimatedMs: null,
      errorMs: null,
    });
  });

  it('does not know yet after the first minutes', () => {
    const report = reportOf(watched({ feed: changing, lagMs: 30_000, hours: 0.1 }), 'clean');
    expect(report).toMatchObject({ verdict: 'not-known-yet', because: 'watched-too-short' });
  });

  it('keeps what was told while the feed is too steady to tell again, with its time', () => {
    const untilNoon = (timeMs: number) => (timeMs < 2 * HOUR_MS ? changing(timeMs) : 10_000);
    const report = reportOf(watched({ feed: untilNoon, lagMs: 30_000, hours: 4.5 }), 'clean');
    expect(report?.verdict).toBe('agrees');
    expect(report?.timeMs).toBeLessThan(4.2 * HOUR_MS);
  });

  it('forgets all when a gate sends the seed another way', () => {
    const turned = reading('s.cleaner.bypassed', 1.9 * HOUR_MS, 1);
    const watch = watched({ feed: changing, lagMs: 30_000, more: [turned] });
    expect(watch.record.route).toBe('cleaner');
    expect(reportOf(watch, 'clean')).toMatchObject({
      verdict: 'not-known-yet',
      because: 'watched-too-short',
      configuredMs: 20_000,
    });
    expect(reportOf(watch, 'screenings')).toBeUndefined();
  });

  it('learns nothing from before a stop: a machine that stands holds its seed', () => {
    const machines = SMALL_GRAPH.machines.map((each) =>
      each.id === 'table' ? { ...each, runningTag: 's.table.running' } : each,
    );
    const more = [
      reading('s.table.running', 1.8 * HOUR_MS, 0),
      reading('s.table.running', 1.8 * HOUR_MS + 60_000, 1),
    ];
    const watch = watched({
      feed: changing,
      lagMs: 30_000,
      hours: 2,
      graph: { ...SMALL_GRAPH, machines },
      more,
    });
    const stopped = watch.record.flows.get('clean')?.filter((mean) => mean === null).length;
    expect(stopped).toBe(12);
    expect(watch.record.flows.get('screenings')?.filter((mean) => mean === null).length).toBe(0);
  });

  it('is part of every tick of the line', () => {
    const span = { fromMs: 0, toMs: 240_000 };
    const { state } = ran(
      smallSetup(),
      FLOWS.flatMap((tag) => readingsOf(tag, 1000, span)),
    );
    expect(state.lags.record.flows.get('clean')?.length).toBeGreaterThan(40);
    expect([...state.lags.reports.values()].map(({ because }) => because)).toContain('watched-too-short');
  });

  it('remembers two hours and no more', () => {
    const watch = watched({ feed: steady, lagMs: 30_000, hours: 2.5 });
    expect(new Set([...watch.record.flows.values()].map(({ length }) => length))).toEqual(new Set([1440]));
  });
});
