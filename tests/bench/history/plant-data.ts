import type { SeriesDefinition } from '#server/ports/sample-store.ts';

/**
 * Plant-like tags from a seed: the same seed gives the same readings, whatever is asked for first. Of 300 tags
 * (all in the shares below) most are analogues polled once a second: a wandering process value with sensor noise,
 * rounded to the sensor's resolution, stamped with 0 to 6 ms of jitter. Contacts change a few times an hour and are
 * proved every 15 s while they stand; five tags come at 10 Hz.
 */
export interface PlantTag {
  readonly index: number;
  readonly kind: 'analogue' | 'fast' | 'counter' | 'contact';
  readonly everyMs: number;
  readonly middle: number;
  readonly spread: number;
  /** Share of the spread that one reading's noise makes. */
  readonly noise: number;
  readonly resolution: number;
}

export interface Block {
  readonly tag: number;
  readonly timeMs: Float64Array;
  readonly value: Float64Array;
}

export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;
export const TAG_COUNT = 300;
export const LONG_TAG_COUNT = 10;
/** Alike in all but their readings, with 1, 10 and 100 days of them: what the same question costs as history grows. */
export const GROWTH_TAGS = { days1: 11, days10: 10, days100: 3 } as const;

const RESOLUTIONS = [0.01, 0.1, 0.1, 0.1, 1, 0.5];

export function plantTags(seed: number, count: number): readonly PlantTag[] {
  const drawn = Array.from({ length: count }, (_, index): PlantTag => {
    const draw = randomOf(seed, index, 0);
    const resolution = RESOLUTIONS[Math.floor(draw() * RESOLUTIONS.length)] ?? 0.1;
    const share = (index % 60) / 60;
    // The first tags are those kept for long, so they are plain analogues.
    const kind = index < LONG_TAG_COUNT + 2 ? 'analogue' : kindAt(share);
    const everyMs = kind === 'fast' ? 100 : kind === 'contact' ? 15_000 : 1000;
    return {
      index,
      kind,
      everyMs,
      middle: 20 + draw() * 400,
      spread: resolution * (5 + draw() * 200),
      noise: 0.01 + draw() * 0.03,
      resolution,
    };
  });
  const model = drawn[GROWTH_TAGS.days100];
  const { days1, days10 } = GROWTH_TAGS;
  return drawn.map((tag) =>
    tag.index === days1 || tag.index === days10 ? { ...tag, ...model, index: tag.index } : tag,
  );
}

function kindAt(share: number): PlantTag['kind'] {
  if (share < 1 / 60) return 'fast';
  if (share < 0.2) return 'contact';
  return share < 0.25 ? 'counter' : 'analogue';
}

export function definitionOf(tag: PlantTag): SeriesDefinition {
  const isStep = tag.kind === 'contact' || tag.kind === 'counter';
  return {
    name: `quillmarsh.bench.tag${tag.index}`,
    kind: 'tag',
    unit: tag.kind === 'contact' ? 'state' : 'A',
    interpolation: isStep ? 'step' : 'linear',
    resolution: isStep ? 1 : tag.resolution,
    heldMs: 30_000,
  };
}

/** One hour of one tag. */
export function hourOf(seed: number, tag: PlantTag, hourMs: number): Block {
  const draw = randomOf(seed, tag.index, hourMs / HOUR_MS);
  const length = HOUR_MS / tag.everyMs;
  const timeMs = new Float64Array(length);
  const value = new Float64Array(length);
  const next = valueSource(tag, draw, hourMs);
  for (let i = 0; i < length; i++) {
    timeMs[i] = hourMs + i * tag.everyMs + Math.floor(draw() * 7);
    value[i] = next();
  }
  return { tag: tag.index, timeMs, value };
}

function valueSource(tag: PlantTag, draw: () => number, hourMs: number): () => number {
  const perOne = 1 / tag.resolution;
  if (tag.kind === 'contact') {
    let state = draw() < 0.8 ? 1 : 0;
    return () => (state = draw() < 0.01 ? 1 - state : state);
  }
  if (tag.kind === 'counter') {
    let count = ((hourMs / HOUR_MS) % 1000) * 2000;
    return () => (count += draw() < 0.5 ? 1 : 0);
  }
  let wander = (draw() - 0.5) * tag.spread;
  const pace = Math.sqrt(tag.everyMs / 1000) * 0.01;
  return () => {
    wander += pace * ((draw() + draw() - 1) * tag.spread - pace * wander);
    const noise = (draw() + draw() + draw() - 1.5) * tag.spread * tag.noise;
    return Math.round((tag.middle + wander + noise) * perOne) / perOne;
  };
}

/** mulberry32, seeded from three numbers. */
function randomOf(seed: number, a: number, b: number): () => number {
  let state = (Math.imul(seed, 0x9e3779b1) ^ Math.imul(a + 1, 0x85ebca6b) ^ Math.imul(b + 1, 0xc2b2ae35)) | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
