import type { Direction, LikelyCause } from '../contract/machine-health.ts';

/** One row of the configured table: what a cause shows, and why. */
export interface CauseRow {
  readonly cause: string;
  /** Kinds of machine that can have it. */
  readonly kinds: readonly string[];
  /** Signals that it moves first and most. One of them at least has to move, none may move the other way. */
  readonly shows: Readonly<Record<string, Direction>>;
  /** Signals that it may move too. */
  readonly supports: Readonly<Record<string, Direction>>;
  /** Signals that it leaves as they are. */
  readonly leaves: readonly string[];
  readonly why: string;
}

/** What is known of one signal: it deviates, it leans that way, or it stands where it should. */
export type Evidence =
  { readonly kind: 'deviates' | 'leans'; readonly direction: Direction } | { readonly kind: 'steady' };

const LIKELY_SCORE = 2.5;
/** A signal that stands still although the cause should move it: it may only be slower to show. */
const STILL = 0.5;
/** A rival within this is as good. */
const CLOSE = 0.75;

/**
 * What may be behind the deviating signals of a machine, best first; empty when nothing in the table fits.
 *
 *     score = 2 a shown signal, 1 a supporting one, half of it when it only leans
 *             - 0.5 a shown one that stands still, - 0.25 a supporting one
 *             - 2 a signal that the cause leaves alone and that deviates, - 1 one that the cause does not explain
 *
 * `likely` needs two signals that agree and no rival close behind: one signal alone is never more than possible.
 */
export function likelyCauses(
  evidence: ReadonlyMap<string, Evidence>,
  rows: readonly CauseRow[],
): readonly LikelyCause[] {
  const judged = rows.flatMap((row) => judgedRow(evidence, row)).sort(byScore);
  return judged.map((own, index) => {
    const rival = judged[index === 0 ? 1 : 0]?.score ?? -Infinity;
    const isLikely = index === 0 && own.evidence.length >= 2 && own.score >= LIKELY_SCORE;
    return { ...own, certainty: isLikely && own.score - rival >= CLOSE ? 'likely' : 'possible' };
  });
}

type Judged = Omit<LikelyCause, 'certainty'>;

function byScore(a: Judged, b: Judged): number {
  if (a.score !== b.score) return b.score - a.score;
  return a.cause < b.cause ? -1 : 1;
}

function judgedRow(evidence: ReadonlyMap<string, Evidence>, row: CauseRow): readonly Judged[] {
  const shown = Object.entries(row.shows).filter(([signal]) => evidence.has(signal));
  const isShown = (signal: string, direction: Direction) => strength(evidence.get(signal), direction);
  const supports = Object.entries(row.supports);
  const isMoving = shown.some(([signal, direction]) => isShown(signal, direction) > 0);
  const isReal = [...shown, ...supports].some(([signal, direction]) => isShown(signal, direction) === 1);
  if (!isMoving || !isReal || shown.some(([signal, direction]) => isShown(signal, direction) < 0)) return [];

  const against = row.leaves.filter((signal) => (evidence.get(signal) ?? STEADY).kind !== 'steady');
  const explained = new Set([...Object.keys(row.shows), ...Object.keys(row.supports)]);
  const unexplained = [...evidence].filter(
    ([signal, { kind }]) => kind === 'deviates' && !explained.has(signal),
  );
  const score =
    sum(shown.map(([signal, direction]) => 2 * isShown(signal, direction) || -STILL)) +
    sum(supports.map(([signal, direction]) => supportOf(evidence.get(signal), direction))) -
    sum(against.map((signal) => (evidence.get(signal)?.kind === 'deviates' ? 2 : 0.5))) -
    unexplained.length;
  const spoken = [...shown, ...supports].filter(([signal, direction]) => isShown(signal, direction) > 0);
  return [
    { cause: row.cause, score, evidence: spoken.map(([signal, direction]) => `${signal}-${direction}`) },
  ];
}

const STEADY: Evidence = { kind: 'steady' };

/** 1 when it deviates that way, half when it leans, 0 when it is steady or not measured, -1 when it goes the other way. */
function strength(found: Evidence | undefined, direction: Direction): number {
  if (found === undefined || found.kind === 'steady') return 0;
  if (found.direction !== direction) return -1;
  return found.kind === 'deviates' ? 1 : 0.5;
}

/** A supporting signal that is measured and does not move takes a little away. */
function supportOf(found: Evidence | undefined, direction: Direction): number {
  return found?.kind === 'steady' ? -0.25 : strength(found, direction);
}

function sum(values: readonly number[]): number {
  return values.reduce((all, value) => all + value, 0);
}
