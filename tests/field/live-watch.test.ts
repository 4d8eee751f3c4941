import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { LiveWatch } from '#server/field/live-watch.ts';
import type { OpenedConnection } from '#server/field/plant-connection.ts';
import type { PlantSession } from '#server/field/plant-session.ts';
import { ReadingIntake } from '#server/field/reading-intake.ts';
import type { DataValueLike } from '#server/field/to-reading.ts';

const TICK_MS = 100;
const CURRENT_TIME = 'i=2258';

interface Plant {
  value: number;
  /** Whether the subscription sends what changes. */
  isSpeaking: boolean;
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** A plant with one tag, whose value may change with or without the subscription telling. */
function watched(plant: Plant): {
  play: (forMs: number) => Promise<void>;
  deaf: string[];
  reads: number[];
  end: () => void;
} {
  const tags = [{ tag: 'a', endpoint: 'plant', node: 'i=1', staleAfterMs: 2000, factor: null }];
  const sink = {
    readings: () => undefined,
    backfill: () => undefined,
    link: () => undefined,
    gap: () => undefined,
  };
  const nowMs = () => Date.now();
  const intake = new ReadingIntake(tags, sink, { nowMs, every: () => () => undefined });
  const deaf: string[] = [];
  const reads: number[] = [];
  const change = (): DataValueLike => ({
    value: { dataType: 11, arrayType: 0, value: plant.value },
    statusCode: { value: 0 },
    sourceTimestamp: new Date(),
    serverTimestamp: new Date(),
  });
  const read = (nodes: readonly { readonly nodeId: string }[]) => {
    if (nodes[0]?.nodeId === CURRENT_TIME) {
      return Promise.resolve([{ ...change(), value: { dataType: 13, arrayType: 0, value: new Date() } }]);
    }
    reads.push(Date.now());
    return Promise.resolve(nodes.map(change));
  };
  const opened: OpenedConnection = {
    session: { read } as unknown as PlantSession,
    facts: { namespaces: [], nodesPerRead: Infinity, itemsPerCall: Infinity, nodesPerHistoryRead: Infinity },
    nodeIds: ['ns=2;i=1'],
    granted: [{ samplingIntervalMs: 100, queueSize: 20 }],
    publishingIntervalMs: 250,
    silentMsMax: 2500,
    askAgain: () => Promise.resolve(),
  };
  const watch = new LiveWatch({
    opened,
    intake,
    nowMs,
    answered: () => undefined,
    failed: () => undefined,
    deaf: (tag) => deaf.push(tag),
  });
  intake.changed(0, change());
  return {
    deaf,
    reads,
    end: () => {
      watch.end();
    },
    async play(forMs) {
      for (let passedMs = 0; passedMs < forMs; passedMs += TICK_MS) {
        plant.value++;
        if (plant.isSpeaking) intake.changed(0, change());
        watch.tick();
        await vi.advanceTimersByTimeAsync(TICK_MS);
      }
    },
  };
}

describe('LiveWatch', () => {
  it('finds a subscription deaf that says nothing while reads find one change after the other', async () => {
    const { play, deaf } = watched({ value: 0, isSpeaking: false });
    await play(10_000);
    expect(deaf[0]).toBe('a');
  });

  it('does not find it deaf after two such reads', async () => {
    const { play, deaf, reads } = watched({ value: 0, isSpeaking: false });
    while (reads.length < 2) await play(TICK_MS);
    expect(deaf).toEqual([]);
  });

  it('does not find it deaf as long as it speaks, and does not read what it tells', async () => {
    const { play, deaf, reads } = watched({ value: 0, isSpeaking: true });
    await play(10_000);
    expect(deaf).toEqual([]);
    expect(reads).toEqual([]);
  });

  it('does nothing with answers that come after its end', async () => {
    const { play, deaf, end } = watched({ value: 0, isSpeaking: false });
    end();
    await play(10_000);
    expect(deaf).toEqual([]);
  });
});
