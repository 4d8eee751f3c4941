import { DAY_MS, GROWTH_TAGS, HOUR_MS, LONG_TAG_COUNT } from './plant-data.ts';
import type { BucketQuestion, Subject } from './subject.ts';

/** Null where it was not measured. */
interface AnswerTimes {
  readonly tag8hMs: number | null;
  readonly tags20x8hMs: number | null;
  readonly tag30dMs: number | null;
  readonly tag1yMs: number | null;
}

export interface QuestionTimes extends AnswerTimes {
  /** The quickest of the same answers: on a busy machine the medians measure the others too. */
  readonly fastest: AnswerTimes;
  /** The same 8 h with 10 and with 100 days of history before it, over those with 1 day. */
  readonly growth10d: number | null;
  readonly growth100d: number | null;
}

const BUCKETS = 2000;
const RUNS = 25;
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
      const toMs = endMs - HOUR_MS - run * 7 * 60_000;
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
  const tag8h = await taken(subject, eight([25]));
  const tags20x8h = await taken(subject, eight(twenty));
  const tag30d = isSmall ? [] : await taken(subject, long(30));
  const tag1y = isSmall ? [] : await taken(subject, long(364));
  const timesBy = (pick: (ascending: readonly number[]) => number | undefined): AnswerTimes => ({
    tag8hMs: pick(tag8h) ?? null,
    tags20x8hMs: pick(tags20x8h) ?? null,
    tag30dMs: pick(tag30d) ?? null,
    tag1yMs: pick(tag1y) ?? null,
  });
  return {
    ...timesBy(middle),
    fastest: timesBy(([first]) => first),
    ...(isSmall ? { growth10d: null, growth100d: null } : await growth(subject, eight)),
  };
}

/** Asked by turns, so that what else the machine does meets all three. */
async function growth(
  subject: Subject,
  eight: (tags: readonly number[]) => (run: number) => BucketQuestion,
): Promise<Pick<QuestionTimes, 'growth10d' | 'growth100d'>> {
  const tags = [GROWTH_TAGS.days1, GROWTH_TAGS.days10, GROWTH_TAGS.days100];
  const times = tags.map((): number[] => []);
  for (let run = 0; run < RUNS; run++) {
    for (const [i, tag] of tags.entries()) {
      const startMs = performance.now();
      await subject.ask(eight([tag])(run));
      times[i]?.push(performance.now() - startMs);
    }
  }
  const [one = NaN, ten = NaN, hundred = NaN] = times.map((all) => middle(ascending(all)));
  return { growth10d: ten / one, growth100d: hundred / one };
}

function middle(numbers: readonly number[]): number | undefined {
  return numbers[numbers.length >> 1];
}

function ascending(numbers: readonly number[]): readonly number[] {
  return [...numbers].sort((a, b) => a - b);
}

/** The milliseconds of warm answers, in ascending order. */
async function taken(
  subject: Subject,
  question: (run: number) => BucketQuestion,
): Promise<readonly number[]> {
  const times: number[] = [];
  for (let run = -2; run < RUNS; run++) {
    const startMs = performance.now();
    const count = await subject.ask(question(Math.max(run, 0)));
    if (count === 0) throw new Error('an answer without buckets measures nothing');
    const ms = performance.now() - startMs;
    if (run >= 0) times.push(ms);
    if (ms > SLOW_MS && times.length >= SLOW_RUNS) break;
  }
  return ascending(times);
}
