import { SPAN_MS_MAX, SPAN_MS_MIN, type TimeWindow, type TrendView } from '../../live/trend-view.ts';

export type Arrangement = 'lanes' | 'together';

/** Everything that a Trends address says: whoever opens it sees exactly this. */
export interface TrendChoice {
  readonly series: readonly string[];
  readonly view: TrendView;
  readonly arrangement: Arrangement;
  /** What is laid under the traces; null for nothing. */
  readonly under: UnderChoice | null;
  /** The stretch that is measured; null for none. */
  readonly measure: TimeWindow | null;
}

/** The same traces this much earlier: another shift or lot, aligned by their starts. */
export interface UnderChoice {
  readonly shiftMs: number;
  readonly name: string;
}

export const TRACES_MAX = 24;
const UNDER_NAME_MAX = 80;
const SPAN_MS_DEFAULT = 1_800_000;

/** Reads a choice from the address; what makes no sense falls back to what does. Null series: nothing was chosen yet. */
export function choiceFrom(query: URLSearchParams): TrendChoice & { readonly isChosen: boolean } {
  const show = query.get('show');
  const series = [...new Set((show ?? '').split(',').filter(Boolean))].slice(0, TRACES_MAX);
  return {
    series,
    isChosen: show !== null,
    view: viewFrom(query),
    arrangement: query.get('arrange') === 'together' ? 'together' : 'lanes',
    under: underFrom(query),
    measure: measureFrom(query),
  };
}

export function queryOf({ series, view, arrangement, under, measure }: TrendChoice): URLSearchParams {
  const query = new URLSearchParams({ show: series.join(',') });
  if (view.kind === 'live') query.set('spanMs', String(Math.round(view.spanMs)));
  else {
    query.set('fromMs', String(Math.round(view.fromMs)));
    query.set('toMs', String(Math.round(view.toMs)));
  }
  if (arrangement === 'together') query.set('arrange', arrangement);
  if (under !== null) {
    query.set('underMs', String(Math.round(under.shiftMs)));
    query.set('underName', under.name);
  }
  if (measure !== null) {
    query.set('measureFromMs', String(Math.round(measure.fromMs)));
    query.set('measureToMs', String(Math.round(measure.toMs)));
  }
  return query;
}

function underFrom(query: URLSearchParams): UnderChoice | null {
  const shiftMs = numberIn(query, 'underMs');
  if (!isTime(shiftMs) || shiftMs === 0) return null;
  return { shiftMs, name: (query.get('underName') ?? '').slice(0, UNDER_NAME_MAX) };
}

function measureFrom(query: URLSearchParams): TimeWindow | null {
  const [fromMs, toMs] = [numberIn(query, 'measureFromMs'), numberIn(query, 'measureToMs')];
  return isTime(fromMs) && isTime(toMs) && fromMs < toMs ? { fromMs, toMs } : null;
}

function viewFrom(query: URLSearchParams): TrendView {
  const [fromMs, toMs, spanMs] = ['fromMs', 'toMs', 'spanMs'].map((name) => numberIn(query, name));
  if (isTime(fromMs) && isTime(toMs) && toMs - fromMs >= SPAN_MS_MIN) return { kind: 'past', fromMs, toMs };
  const isSpan = spanMs !== undefined && spanMs >= SPAN_MS_MIN && spanMs <= SPAN_MS_MAX;
  return { kind: 'live', spanMs: isSpan ? spanMs : SPAN_MS_DEFAULT };
}

function numberIn(query: URLSearchParams, name: string): number {
  return Number(query.get(name) ?? Number.NaN);
}

function isTime(value: number | undefined): value is number {
  return value !== undefined && Number.isFinite(value);
}
