import type { UnitCode } from '../contract/unit-code.ts';
import type { BeforeAfterAnswer, MeasuredAnswer } from '../contract/stretch-answer.ts';
import type { SeriesId } from './sample-store.ts';

/** A tag or figure that is asked about. */
export interface AskedSeries {
  readonly name: string;
  readonly series: SeriesId;
  readonly unit: UnitCode;
  readonly interpolation: 'step' | 'linear';
}

export interface MeasureRequest {
  readonly series: readonly AskedSeries[];
  readonly fromMs: number;
  readonly toMs: number;
}

export interface BeforeAfterRequest {
  readonly series: readonly AskedSeries[];
  readonly atMs: number;
  /** How long before, and at most how long after. */
  readonly spanMs: number;
  /** Left out after the instant. */
  readonly settleMs: number;
  readonly nowMs: number;
}

/** What can be said about a stretch of the past. Each rejects with the signal's reason when aborted. */
export interface StretchReports {
  measured(request: MeasureRequest, signal: AbortSignal): Promise<MeasuredAnswer>;
  beforeAfter(request: BeforeAfterRequest, signal: AbortSignal): Promise<BeforeAfterAnswer>;
}
