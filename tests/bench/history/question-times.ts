import { DAY_MS, HOUR_MS, LONG_TAG_COUNT } from './plant-data.ts';
import type { BucketQuestion, Subject } from './subject.ts';

export interface QuestionTimes {
  readonly tag8hMs: number;
  readonly tags20x8hMs: number;
  readonly tag30dMs: number | null;
  readonly tag1yMs: number | null;
  /** The same 8 h with 100 days of history before it, over those with 1 day. */
  readonly growth100d: number | null;
}

const BUCKETS = 2000;
const RUNS = 15;
const SLOW_RUNS = 3;
const SLOW_MS = 500;

export interface Times {
  readonly endMs: number;
  readonly isSmall: boolean;
}

/** Medians of warm answers; each run asks for another stretch of time or other tags, as a hand on a mouse does. */
export async function questionTimes(subject: Subject, { endMs, isSmall }: Times): Promise<QuestionTimes> {
  const eight =
    (tags: readonly number[]) =>
    (run: number): BucketQuestion => {
      const toMs = endMs - HOUR_MS - run * 20 * 60_000;
      return { tags, fromMs: toMs - 8 * HOUR_MS, toMs, buckets: BUCKETS };
    };
  const long =
    (days: number) =>
    (run: number): BucketQuestion => {
      const toMs = endMs - HOUR_MS - run * HOUR_MS;
      return {
        tags: [days > 100 ? 0 : run % LONG_TAG_COUNT],
        fromMs: toMs - days * DAY_MS,
        toMs,
        buckets: BUCKETS,
      };
    };
  const twenty = Array.from({ length: 20 }, (_, i) => 20 + i * 7);
  return {
    tag8hMs: await median(subject, eight([25])),
    tags20x8hMs: await median(subject, eight(twenty)),
    tag30dMs: isSmall ? null : await median(subject, long(30)),
    tag1yMs: isSmall ? null : await median(subject, long(364)),
    growth100d: isSmall ? null : (await median(subject, eight([3]))) / (await median(subject, eight([25]))),
  };
}

async function median(subject: Subject, question: (run: number) => BucketQuestion): Promise<number> {
  const taken: number[] = [];
  for (let run = -2; run < RUNS; run++) {
    const startMs = performance.now();
    const count = await subject.ask(question(Math.max(run, 0)));
    if (count === 0) throw new Error('an answer without buckets measures nothing');
    const ms = performance.now() - startMs;
    if (run >= 0) taken.push(ms);
    if (ms > SLOW_MS && taken.length >= SLOW_RUNS) break;
  }
  taken.sort((a, b) => a - b);
  return taken[taken.length >> 1] ?? NaN;
}
