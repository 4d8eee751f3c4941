import { get, type IncomingMessage } from 'node:http';
import { describe, expect, it } from 'vitest';
import { historyExport } from '#server/history/export/history-export.ts';
import type { SampleStore } from '#server/ports/sample-store.ts';
import { eventually } from '#tests/support/eventually.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { flow } from '#tests/support/sample-builders.ts';
import { server } from './live-clients.ts';

const PIECE = 10_000;
const URL_OF_ALL = `/api/history/export?series=${flow.name}&fromMs=0&toMs=8000000000000000&format=csv`;

/** A history without end, which counts the pieces that were asked of it and whether it was told to stop. */
async function endlessHistory() {
  const memory = memorySampleStore();
  const series = (await memory.register([flow], 0)).get(flow.name) ?? -1;
  const seen = { pieces: 0, isOver: false };
  async function* raw(): AsyncGenerator<{ series: number } & ReturnType<typeof columnsOf>> {
    try {
      for (;;) {
        await Promise.resolve();
        yield { series, ...columnsOf(seen.pieces++) };
      }
    } finally {
      seen.isOver = true;
    }
  }
  const samples: SampleStore = { ...memory, raw };
  const web = await server({
    samples,
    exportHistory: (request, signal) => historyExport(samples, request, signal),
  });
  return { web, seen };
}

function columnsOf(piece: number) {
  return {
    timeMs: Float64Array.from({ length: PIECE }, (_, i) => (piece * PIECE + i) * 1000),
    value: new Float64Array(PIECE).fill(1.5),
    status: new Uint8Array(PIECE),
    reason: new Uint8Array(PIECE),
  };
}

function asked(address: string): Promise<IncomingMessage> {
  return new Promise((resolve, reject) => {
    get(address + URL_OF_ALL, resolve).on('error', reject);
  });
}

describe('an export over the network', () => {
  it('waits for a reader that does not read, instead of filling the memory', async () => {
    const { web, seen } = await endlessHistory();
    const answer = await asked(web.address);
    // Some are in the buffers of the sockets; then nothing more is read from the history.
    await quiet(() => seen.pieces);
    const whileWaiting = seen.pieces;
    expect(whileWaiting).toBeLessThan(200);
    let bytes = 0;
    answer.on('data', (data: Buffer) => (bytes += data.length));
    await eventually('it goes on', () => seen.pieces > whileWaiting + 20 && bytes > 1_000_000);
    answer.destroy();
  });

  it('is given up when its reader goes away, and makes room for the next', async () => {
    const { web, seen } = await endlessHistory();
    for (let time = 0; time < 5; time += 1) {
      seen.isOver = false;
      const answer = await asked(web.address);
      expect(answer.statusCode).toBe(200);
      answer.destroy();
      await eventually('the history is told to stop', () => seen.isOver);
    }
  });

  it('refuses a fifth beside four that run', async () => {
    const { web } = await endlessHistory();
    const four = await Promise.all(Array.from({ length: 4 }, () => asked(web.address)));
    const fifth = await fetch(web.address + URL_OF_ALL);
    expect(fifth.status).toBe(503);
    expect(await fifth.json()).toEqual({
      error:
        'REQUEST_BUSY exports under way: got 4, expected < 4; ask again when one of them has ended, or use npm run export',
    });
    for (const answer of four) answer.destroy();
  });
});

/** Resolves once a count has stood still for a while. */
async function quiet(count: () => number): Promise<void> {
  for (let before = -1; before !== count();) {
    before = count();
    await new Promise((resolve) => setTimeout(resolve, 300));
  }
}
