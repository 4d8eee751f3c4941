import type { PlantDescription } from '#server/contract/plant-description.ts';
import type { Lot, Mark, MarkDetails, Shift } from '#server/contract/records.ts';
import type { CommandRequest } from '#server/contract/commands.ts';
import { stretchReports } from '#server/reports/stretch-reports.ts';
import { FAKE_LOT, FAKE_SHIFT } from './fake-records.ts';
import { thinnedSignal, type Signal } from './fake-signal.ts';
import { signalStore } from './signal-store.ts';

const HISTORY_MS = 9 * 24 * 3_600_000;
const SHIFT_MS = 8 * 3_600_000;
const LOT_MS = 5 * 3_600_000;
const SHIFT_NAMES = ['Day shift', 'Night shift', 'Late shift'];

interface FakePast {
  readonly plant: PlantDescription;
  readonly signalOf: (id: string) => Signal;
  readonly nowMs: () => number;
  readonly historyMs: number | undefined;
}

export interface FakeHistory {
  /** What the server would answer; null for an address that is none of the past. */
  answer(url: URL): Promise<unknown>;
  mark(request: CommandRequest, mark: MarkDetails): void;
}

/** The past of a fake plant: samples, shifts, lots and marks. */
export function fakeHistory({ plant, signalOf, nowMs, historyMs = HISTORY_MS }: FakePast): FakeHistory {
  const marks: Mark[] = [];
  const known = (id: string): Signal => {
    const live = signalOf(id);
    return (timeMs) => (timeMs > nowMs() || timeMs < nowMs() - historyMs ? null : live(timeMs));
  };
  const factsOf = (name: string, series: number) => {
    const tag = plant.tags.find(({ id }) => id === name);
    const unit = tag?.unit ?? plant.figures.find(({ id }) => id === name)?.unit ?? '1';
    return { name, series, unit, interpolation: tag?.interpolation ?? ('linear' as const) };
  };

  async function answer(url: URL): Promise<unknown> {
    const number = (name: string) => Number(url.searchParams.get(name));
    const ids = url.searchParams.getAll('series');
    const stretch = { fromMs: number('fromMs'), toMs: number('toMs') };
    const { signal } = new AbortController();
    const reports = stretchReports(signalStore(ids.map(known)));
    const series = ids.map(factsOf);
    switch (url.pathname) {
      case '/api/history/thinned':
        return {
          ...stretch,
          series: series.map(({ name, unit }) =>
            thinnedSignal(known(name), { series: name, unit, ...stretch, buckets: number('buckets') }),
          ),
        };
      case '/api/history/measured':
        return reports.measured({ series, ...stretch }, signal);
      case '/api/history/before-after':
        return reports.beforeAfter(
          {
            series,
            atMs: number('atMs'),
            spanMs: number('spanMs'),
            settleMs: number('settleMs'),
            nowMs: nowMs(),
          },
          signal,
        );
      case '/api/shifts':
        return shiftsIn(stretch.fromMs, stretch.toMs);
      case '/api/lots':
        return lotsIn(stretch.fromMs, stretch.toMs);
      case '/api/marks':
        return marks.filter(({ timeMs }) => timeMs >= stretch.fromMs && timeMs < stretch.toMs);
      default:
        return null;
    }
  }

  return {
    answer,
    mark({ actor }, mark) {
      marks.push({ ...mark, id: marks.length + 1, writtenBy: actor, writtenMs: nowMs() });
    },
  };
}

function shiftsIn(fromMs: number, toMs: number): readonly Shift[] {
  return spans(FAKE_SHIFT.startedMs, SHIFT_MS)
    .filter(([startedMs, endedMs]) => startedMs < toMs && (endedMs ?? Infinity) > fromMs)
    .map(([startedMs, endedMs, back]) => ({
      ...FAKE_SHIFT,
      id: 100 - back,
      name: SHIFT_NAMES[back % SHIFT_NAMES.length] ?? '',
      startedMs,
      endedMs,
    }));
}

function lotsIn(fromMs: number, toMs: number): readonly Lot[] {
  return spans(FAKE_LOT.startedMs, LOT_MS)
    .filter(([startedMs, endedMs]) => startedMs < toMs && (endedMs ?? Infinity) > fromMs)
    .map(([startedMs, endedMs, back]) => ({
      ...FAKE_LOT,
      id: 100 - back,
      number: `QM-0${417 - back}`,
      startedMs,
      endedMs,
    }));
}

/** The running one and those before it, each as long as the others, in ascending time. */
function spans(startedMs: number, lengthMs: number): readonly (readonly [number, number | null, number])[] {
  const count = Math.floor(HISTORY_MS / lengthMs);
  return Array.from({ length: count }, (_, index) => count - 1 - index).map((back) => [
    startedMs - back * lengthMs,
    back === 0 ? null : startedMs - (back - 1) * lengthMs,
    back,
  ]);
}
