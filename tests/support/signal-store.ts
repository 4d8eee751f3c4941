import type { SampleStore, ThinnedColumns } from '#server/ports/sample-store.ts';
import { thinnedSignal, type Signal } from './fake-signal.ts';

/** A store whose series are functions of time; the id of a series is its index. */
export function signalStore(signals: readonly Signal[]): Pick<SampleStore, 'thinned'> {
  return {
    async *thinned({ series, fromMs, toMs, buckets }) {
      await Promise.resolve();
      for (const id of series) {
        const signal = signals[id];
        if (signal === undefined) throw new Error(`there is no series ${id}`);
        yield columnsOf(id, thinnedSignal(signal, { series: '', unit: '1', fromMs, toMs, buckets }), toMs);
      }
    },
  };
}

function columnsOf(series: number, thinned: ReturnType<typeof thinnedSignal>, endMs: number): ThinnedColumns {
  const column = (values: readonly (number | null)[]) =>
    Float64Array.from(values, (value) => value ?? Number.NaN);
  return {
    series,
    endMs,
    timeMs: column(thinned.timeMs),
    first: column(thinned.first),
    last: column(thinned.last),
    min: column(thinned.min),
    max: column(thinned.max),
    mean: column(thinned.mean),
    count: Uint32Array.from(thinned.count),
    coveredRatio: column(thinned.coveredRatio),
    uncertainRatio: column(thinned.uncertainRatio),
  };
}
