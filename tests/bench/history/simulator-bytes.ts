import { simulatedPlant } from '#simulator/simulated-plant.ts';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import { statSync } from 'node:fs';
import { join } from 'node:path';

const START_MS = Date.UTC(2026, 2, 2, 6);

/** Bytes a reading of the simulated plant's own tags, with the resolution that the demo would declare: none. */
export async function simulatorBytes(
  folder: string,
  minutes: number,
  resolution: number,
): Promise<{ readonly bytesPerReading: number; readonly readings: number }> {
  const plant = simulatedPlant({ seed: 1 });
  const store = await openSampleStore({ folder });
  const ids = await store.register(
    plant.tags.map((tag) => ({
      name: `quillmarsh.${tag.node}`,
      kind: 'tag',
      unit: 'A',
      interpolation: tag.kind === 'analog' ? 'linear' : 'step',
      resolution: tag.kind === 'analog' ? resolution : 1,
      heldMs: 10_000,
    })),
    0,
  );
  let readings = 0;
  for (let minute = 0; minute < minutes; minute++) {
    const news = Array.from({ length: 60 }, () => plant.step(1000)).flat();
    readings += news.length;
    await store.append({
      writer: 'simulator',
      sequence: minute,
      series: Uint32Array.from(news, ({ node }) => ids.get(`quillmarsh.${node}`) ?? 0),
      timeMs: Float64Array.from(news, ({ timeMs }) => START_MS + timeMs),
      value: Float64Array.from(news, ({ value }) => value),
      status: new Uint8Array(news.length),
      reason: new Uint8Array(news.length),
    });
  }
  await store.settle();
  await store.close();
  return { bytesPerReading: statSync(join(folder, 'history.sqlite')).size / readings, readings };
}
