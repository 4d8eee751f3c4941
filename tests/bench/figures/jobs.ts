import type { Profile } from '#simulator/tags/tag-entry.ts';
import { benchLine, type BenchLine } from './bench-line.ts';
import { coverageOfDraw, type Covered } from './coverage-part.ts';
import { driftResult, type DriftResult } from './drift-part.ts';
import { lotResult, type LotResult } from './lot-part.ts';
import { lagResults, type LagResult } from './lag-part.ts';
import { stepsResult, type StepsResult } from './steps-part.ts';

/** One piece of the measurement, small enough to be handed to another thread. */
export type Job =
  | {
      readonly part: 'lot' | 'steps';
      readonly profile: Profile;
      readonly index: number;
      readonly draw: number | null;
    }
  | { readonly part: 'coverage'; readonly index: number; readonly draws: readonly number[] }
  | { readonly part: 'drift' | 'lag'; readonly index: number };

export type Answer =
  | {
      readonly part: 'lot';
      readonly index: number;
      readonly profile: Profile;
      readonly isPerfect: boolean;
      readonly result: LotResult;
    }
  | {
      readonly part: 'steps';
      readonly profile: Profile;
      readonly isPerfect: boolean;
      readonly result: StepsResult;
    }
  | { readonly part: 'coverage'; readonly result: readonly Covered[] }
  | { readonly part: 'drift'; readonly result: DriftResult }
  | { readonly part: 'lag'; readonly result: readonly LagResult[] };

const lines = new Map<Profile, Promise<BenchLine>>();

export async function answerOf(job: Job): Promise<Answer> {
  const line = await lineOf('profile' in job ? job.profile : 'full');
  switch (job.part) {
    case 'lot': {
      const { profile, index, draw } = job;
      return { part: 'lot', index, profile, isPerfect: draw === null, result: lotResult(line, index, draw) };
    }
    case 'steps': {
      const { profile, draw } = job;
      return { part: 'steps', profile, isPerfect: draw === null, result: stepsResult(line, job.index, draw) };
    }
    case 'coverage':
      return { part: 'coverage', result: job.draws.flatMap((draw) => coverageOfDraw(line, job.index, draw)) };
    case 'drift':
      return { part: 'drift', result: driftResult(line, job.index) };
    case 'lag':
      return { part: 'lag', result: lagResults(line, job.index) };
  }
}

function lineOf(profile: Profile): Promise<BenchLine> {
  const made = lines.get(profile) ?? benchLine(profile);
  lines.set(profile, made);
  return made;
}
