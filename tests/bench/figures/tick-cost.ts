import { fileURLToPath } from 'node:url';
import { loadConfig } from '#server/config/load-config.ts';
import type { Reading } from '#server/contract/reading.ts';
import { NO_FRAMES_YET, stepFrames, type FramesState } from '#server/line/frames.ts';
import { lineSetup, type LineParts, type LineSetup } from '#server/line/line-setup.ts';
import { NEW_LINE, stepLine, type LineState } from '#server/line/step-line.ts';

export interface TickCost {
  readonly tags: number;
  readonly medianMs: number;
  /** Of the processor alone: what the median would be on a machine that has nothing else to do. */
  readonly medianCpuMs: number;
  readonly meanMs: number;
  readonly p95Ms: number;
}

const TICK_MS = 250;
const TAGS_A_LINE = 300;
const WARM_TICKS = 240;
const MEASURED_TICKS = 400;
const DEMO = fileURLToPath(new URL('../../../config/plant.yaml', import.meta.url));

/**
 * What a tick of frames and figures costs with so many copies of the demo's line. Every tag changes once a second, a
 * quarter of them in each tick of 250 ms; every tick works out all figures of every line that are due.
 */
export async function tickCost(lines: number): Promise<TickCost> {
  const parts = await copiesOfDemo(lines);
  const setups = parts.map(lineSetup);
  const tags = parts.flatMap((part) => offeredTags(part));
  let frames: FramesState = NO_FRAMES_YET;
  let states: readonly LineState[] = setups.map(() => NEW_LINE);
  const costsMs: number[] = [];
  const cpuMs: number[] = [];
  for (let tick = 1; tick <= WARM_TICKS + MEASURED_TICKS; tick += 1) {
    const nowMs = tick * TICK_MS;
    const arrived = readingsOf(tags, tick);
    const startedMs = performance.now();
    const cpuBefore = process.cpuUsage();
    const framing = stepFrames(
      frames,
      { arrived, nowMs: nowMs + 2 * TICK_MS },
      { tickMs: TICK_MS, holdBackMs: 500 },
    );
    frames = framing.state;
    for (const frame of framing.frames) {
      states = setups.map((setup, index) => steppedState(setup, states[index] ?? NEW_LINE, frame));
    }
    const { user, system } = process.cpuUsage(cpuBefore);
    if (tick <= WARM_TICKS) continue;
    costsMs.push(performance.now() - startedMs);
    cpuMs.push((user + system) / 1000);
  }
  return { tags: tags.length, medianCpuMs: summaryOf(cpuMs).medianMs, ...summaryOf(costsMs) };
}

/** The line's tags, and as many more that no figure asks for as make a round number. */
function offeredTags({ graph, tags }: LineParts) {
  const others = Array.from({ length: Math.max(0, TAGS_A_LINE - tags.length) }, (_, index) => ({
    id: `${graph.id}.other.value-${index}`,
    rangeHigh: null,
  }));
  return [...tags, ...others].map(({ id, rangeHigh }) => ({ id, value: (rangeHigh ?? 2) / 2 }));
}

function steppedState(setup: LineSetup, state: LineState, frame: Parameters<typeof stepLine>[2]['frame']) {
  return stepLine(setup, state, { frame, lostEndpoints: new Set(), lot: null }).state;
}

function readingsOf(
  tags: readonly { readonly id: string; readonly value: number }[],
  tick: number,
): Reading[] {
  const sourceTimeMs = tick * TICK_MS - TICK_MS / 2;
  const readings: Reading[] = [];
  for (let index = tick % 4; index < tags.length; index += 4) {
    const tag = tags[index];
    if (tag === undefined) continue;
    const value = tag.value * (1 + 0.01 * Math.sin(tick + index));
    readings.push({ tag: tag.id, sourceTimeMs, arrivalMs: sourceTimeMs, value, quality: 'good' });
  }
  return readings;
}

/** The demo's only line again and again, each copy with ids of its own. */
async function copiesOfDemo(count: number): Promise<readonly LineParts[]> {
  const config = await loadConfig(DEMO);
  const one = JSON.stringify({ graph: config.lines[0], settings: config.settings[0], tags: config.tags });
  return Array.from({ length: count }, (_, index) => {
    const copy = one
      .replaceAll('"a.', `"l${index}.`)
      .replaceAll('"line":"a"', `"line":"l${index}"`)
      .replace('"id":"a"', `"id":"l${index}"`);
    const parts = JSON.parse(copy) as Pick<LineParts, 'graph' | 'settings' | 'tags'>;
    return { ...parts, crops: config.crops, endpointOf: new Map(parts.tags.map(({ id }) => [id, 'plant'])) };
  });
}

function summaryOf(costsMs: readonly number[]): Omit<TickCost, 'tags' | 'medianCpuMs'> {
  const sorted = costsMs.toSorted((a, b) => a - b);
  return {
    medianMs: sorted[Math.floor(sorted.length / 2)] ?? NaN,
    meanMs: sorted.reduce((sum, cost) => sum + cost, 0) / sorted.length,
    p95Ms: sorted[Math.floor(sorted.length * 0.95)] ?? NaN,
  };
}
