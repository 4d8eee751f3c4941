import type { Watch } from './watched-plant.ts';

/** Twenty kinds of upset, and the tags and figures on which an operator would look for each. */
export const RELEVANT = {
  'air-gate-drift': ['aspirator.fan-pressure', 'aspirator.reject-share', 'sizer.reject-share', 'line.yield'],
  'bagger-overfill': ['bagger.bag-mass'],
  'deck-belt-slip': [
    'gravity-table.deck-speed',
    'gravity-table.deck-vibration',
    'gravity-table.reject-share',
    'line.yield',
  ],
  'deck-out-of-tune': ['gravity-table.deck-vibration', 'gravity-table.reject-share', 'line.yield'],
  'dryer-over-temperature': ['dryer.air-temperature', 'dryer.seed-temperature'],
  'elevator-belt-slip': ['elevator-2.belt-speed', 'elevator-2.speed-ok'],
  'feed-surge': ['line.feed-rate'],
  'plugged-leg': ['elevator-1.belt-speed', 'elevator-1.boot-plugged', 'elevator-1.speed-ok'],
  'pump-air-lock': ['treater.product-dose-1', 'treater.dose'],
  'scale-span-drift': ['line.closure-ten-minutes'],
  'scale-zero-drift': ['line.closure-ten-minutes', 'air-screen.reject-share'],
  'screen-blinding': ['air-screen.reject-share', 'aspirator.reject-share', 'sizer.reject-share'],
  'seed-wheel-off': ['line.treated-rate', 'treater.dose'],
  'sticky-seed-bridging': ['bagger.hopper-level', 'bagger.running', 'dryer.running'],
  'tank-runs-out': ['treater.tank-a-mass', 'treater.product-dose-1', 'treater.dose'],
  'torn-screen': ['air-screen.reject-share', 'line.yield'],
  'trashy-lot': [
    'scalper.reject-share',
    'air-screen.reject-share',
    'aspirator.reject-share',
    'sizer.reject-share',
    'line.yield',
  ],
  'wet-lot': ['intake.moisture', 'scalper.reject-share', 'sizer.reject-share', 'gravity-table.reject-share'],
  'wrong-gate': ['clean-bin.level', 'line.treated-rate'],
  'wrong-product-ratio': ['treater.product-dose-2', 'treater.dose'],
} as const satisfies Readonly<Record<string, readonly string[]>>;

export type UpsetKind = keyof typeof RELEVANT;
export const UPSET_KINDS = Object.keys(RELEVANT) as readonly UpsetKind[];

/** These are there or not: a half of them is nothing. */
const WHOLE: readonly UpsetKind[] = ['plugged-leg', 'sticky-seed-bridging', 'tank-runs-out', 'wrong-gate'];
/** Upsets come in all sizes; the second run of a kind is a mild one. */
const MILD_SHARE = 0.4;
/** Long enough for every chart to have learned. */
const ONSET_S = 4200;
const AFTER_S = 2400;

export interface UpsetRun {
  readonly kind: UpsetKind;
  readonly watch: Watch & { readonly upset: NonNullable<Watch['upset']> };
}

/** Each kind twice: in its full size and mildly, each run from a seed of its own; onsets differ by seconds. */
export function upsetRuns(firstSeed: number, kinds = UPSET_KINDS): readonly UpsetRun[] {
  return kinds.flatMap((kind, at) =>
    [1, WHOLE.includes(kind) ? 1 : MILD_SHARE].map((share, which) => {
      const seed = firstSeed + 2 * at + which;
      const onsetS = ONSET_S + ((seed * 37) % 60);
      return { kind, watch: { seed, seconds: onsetS + AFTER_S, upset: { name: kind, onsetS, share } } };
    }),
  );
}

export function isRelevant(kind: UpsetKind, subject: string): boolean {
  return RELEVANT[kind].some((relevant) => subject === `a.${relevant}`);
}
