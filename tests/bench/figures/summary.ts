import type { Profile } from '#simulator/tags/tag-entry.ts';
import { coverageRows, type CoverageRow } from './coverage-rows.ts';
import type { Answer } from './jobs.ts';
import type { Miss } from './lot-part.ts';

/** The largest miss of several, null where the line had no figure in any of them, and in how many it had one. */
export interface Largest {
  readonly most: number | null;
  readonly known: number;
  readonly of: number;
}

export interface LotSummary {
  readonly profile: Profile;
  readonly isPerfect: boolean;
  readonly yield: Largest;
  readonly yieldOracle: number | null;
  readonly yieldBeyondOracle: Largest;
  readonly dose: Largest;
  readonly doseOracle: number | null;
  readonly doseBeyondOracle: Largest;
}

export interface StepSummary {
  readonly isPerfect: boolean;
  readonly yield: Largest;
  readonly beyondOracle: Largest;
  readonly oracle: number | null;
  readonly unlagged: number | null;
  readonly knownRatioMin: number | null;
}

type AnswerOf<Part extends Answer['part']> = Extract<Answer, { readonly part: Part }>;

export function answersOf<Part extends Answer['part']>(
  answers: readonly Answer[],
  part: Part,
): readonly AnswerOf<Part>[] {
  return answers.filter((answer): answer is AnswerOf<Part> => answer.part === part);
}

/** Lots of one profile with one kind of instrument. */
export function lotSummary(
  answers: readonly Answer[],
  wanted: { readonly profile: Profile; readonly isPerfect: boolean; readonly lots: number },
): LotSummary {
  const { profile, isPerfect, lots } = wanted;
  const own = answersOf(answers, 'lot').filter(
    (answer) => answer.profile === profile && answer.isPerfect === isPerfect && answer.index < lots,
  );
  const yields = own.map(({ result }) => result.yield);
  const doses = own.flatMap(({ result }) => result.doses);
  return {
    profile,
    isPerfect,
    yield: largest(yields.map(({ line }) => line)),
    yieldOracle: largest(yields.map(({ oracle }) => oracle)).most,
    yieldBeyondOracle: largest(yields.map(beyond)),
    dose: largest(doses.map(({ line }) => line)),
    doseOracle: largest(doses.map(({ oracle }) => oracle)).most,
    doseBeyondOracle: largest(doses.map(beyond)),
  };
}

export function stepSummary(answers: readonly Answer[], isPerfect: boolean): StepSummary {
  const own = answersOf(answers, 'steps').filter((answer) => answer.isPerfect === isPerfect);
  const least = own.map(({ result }) => result.knownRatio);
  return {
    isPerfect,
    yield: largest(own.map(({ result }) => result.worst.line)),
    beyondOracle: largest(own.map(({ result }) => result.beyondOracle)),
    oracle: largest(own.map(({ result }) => result.worst.oracle)).most,
    unlagged: largest(own.map(({ result }) => result.unlagged)).most,
    knownRatioMin: least.length === 0 ? null : Math.min(...least),
  };
}

/** How often the right instrument was named, and how often one that was well. */
export interface NamingSummary {
  readonly named: number;
  readonly drifts: number;
  readonly byScale: ReadonlyMap<string, { readonly named: number; readonly of: number }>;
  readonly minutesMost: number | null;
  /** Null where the line has no balance. */
  readonly falseNamings: number | null;
  readonly shifts: number;
  readonly imbalanceMinutes: number;
}

export function namingSummary(answers: readonly Answer[]): NamingSummary {
  const drifts = answersOf(answers, 'drift').map(({ result }) => result);
  const shifts = answersOf(answers, 'lot').filter(
    ({ profile, isPerfect }) => profile === 'full' && !isPerfect,
  );
  const namings = shifts.map(({ result }) => result.namings);
  const isTold = (minutes: number | null) => minutes !== null;
  const scales = [...new Set(drifts.map(({ scale }) => scale))];
  return {
    named: drifts.filter(({ namedAfterMinutes }) => isTold(namedAfterMinutes)).length,
    drifts: drifts.length,
    byScale: new Map(
      scales.map((scale) => {
        const own = drifts.filter((drift) => drift.scale === scale);
        return [
          scale,
          { named: own.filter((each) => isTold(each.namedAfterMinutes)).length, of: own.length },
        ];
      }),
    ),
    minutesMost: largest(drifts.map(({ namedAfterMinutes }) => namedAfterMinutes)).most,
    falseNamings: namings.includes(null)
      ? null
      : namings.reduce<number>((sum, count) => sum + (count ?? 0), 0),
    shifts: shifts.length,
    imbalanceMinutes: shifts.reduce((sum, { result }) => sum + result.imbalances, 0),
  };
}

export function coverageSummary(answers: readonly Answer[]): readonly CoverageRow[] {
  return coverageRows(answersOf(answers, 'coverage').flatMap(({ result }) => result));
}

function beyond({ line, oracle }: Miss): number | null {
  return line === null ? null : Math.max(0, line - oracle);
}

function largest(values: readonly (number | null)[]): Largest {
  const known = values.filter((value) => value !== null && Number.isFinite(value)) as readonly number[];
  return { most: known.length === 0 ? null : Math.max(...known), known: known.length, of: values.length };
}
