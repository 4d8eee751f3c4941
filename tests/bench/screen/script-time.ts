import type { CDPSession } from 'playwright-core';

/** What the browser calls the running of script in its own trace; some contain each other. */
const SCRIPT = new Set([
  'EvaluateScript',
  'EventDispatch',
  'FireAnimationFrame',
  'FunctionCall',
  'RunMicrotasks',
  'TimerFire',
  'V8.GC_MARK_COMPACTOR',
  'XHRReadyStateChange',
  'v8.callFunction',
  'v8.run',
]);
const CATEGORIES = ['devtools.timeline', 'disabled-by-default-devtools.timeline', 'v8', 'v8.execute'];
const US_PER_MS = 1000;

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly ts: number;
  readonly dur?: number;
  /** Processor time of the thread, which other programs on the machine do not lengthen. */
  readonly tdur?: number;
  readonly pid: number;
  readonly tid: number;
}

/**
 * The milliseconds of script in each frame while something is done, from the browser's own trace: script of events,
 * timers, promises and animation frames counts, each microsecond once, in processor time. Frames without any script are left out.
 */
export async function scriptPerFrame(session: CDPSession, act: () => Promise<void>): Promise<number[]> {
  const events: TraceEvent[] = [];
  const take = ({ value }: { value: object[] }) => events.push(...(value as TraceEvent[]));
  session.on('Tracing.dataCollected', take);
  await session.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: CATEGORIES, excludedCategories: ['*'] },
  });
  await act();
  const complete = new Promise((resolve) => session.once('Tracing.tracingComplete', resolve));
  await session.send('Tracing.end');
  await complete;
  session.off('Tracing.dataCollected', take);
  return frames(events);
}

function frames(events: readonly TraceEvent[]): number[] {
  const ticks = events.filter(({ name }) => name === 'FireAnimationFrame');
  const [main] = ticks;
  if (main === undefined) throw new Error('the trace has no animation frame: nothing moved');
  const here = events.filter(({ pid, tid }) => pid === main.pid && tid === main.tid);
  const starts = frameStarts(here);
  const script = new Float64Array(starts.length);
  let frame = 0;
  let doneUs = 0;
  for (const { ts, dur = 0, tdur } of scripts(here)) {
    // What lies within another has been counted with it.
    if (ts < doneUs) continue;
    doneUs = ts + dur;
    while (frame + 1 < starts.length && (starts[frame + 1] ?? Infinity) <= ts) frame++;
    script[frame] = (script[frame] ?? 0) + (tdur ?? dur) / US_PER_MS;
  }
  return [...script].filter((ms) => ms > 0);
}

function scripts(events: readonly TraceEvent[]): readonly TraceEvent[] {
  return events
    .filter(({ name, ph, dur }) => ph === 'X' && dur !== undefined && SCRIPT.has(name))
    .toSorted((one, other) => one.ts - other.ts);
}

/** A frame begins where the screen's last one has been painted: what comes in between, events too, belongs to the next. */
function frameStarts(events: readonly TraceEvent[]): number[] {
  const painted = events.filter(({ name }) => name === 'Commit' || name === 'PrePaint');
  const ends = painted.map(({ ts, dur = 0 }) => ts + dur).toSorted((one, other) => one - other);
  if (ends.length === 0) throw new Error('the trace has no painted frame');
  const merged: number[] = [-Infinity];
  for (const end of ends) if (end - (merged.at(-1) ?? 0) > US_PER_MS) merged.push(end);
  return merged;
}

export function percentile(values: readonly number[], share: number): number | null {
  const sorted = values.toSorted((one, other) => one - other);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? null;
}
