import { SPAN_MS_MAX, SPAN_MS_MIN, type TrendView } from '../../live/trend-view.ts';

export type Arrangement = 'lanes' | 'together';

/** Everything that a Trends address says: whoever opens it sees exactly this. */
export interface TrendChoice {
  readonly series: readonly string[];
  readonly view: TrendView;
  readonly arrangement: Arrangement;
}

export const TRACES_MAX = 24;
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
  };
}

export function queryOf({ series, view, arrangement }: TrendChoice): URLSearchParams {
  const query = new URLSearchParams({ show: series.join(',') });
  if (view.kind === 'live') query.set('spanMs', String(Math.round(view.spanMs)));
  else {
    query.set('fromMs', String(Math.round(view.fromMs)));
    query.set('toMs', String(Math.round(view.toMs)));
  }
  if (arrangement === 'together') query.set('arrange', arrangement);
  return query;
}

function viewFrom(query: URLSearchParams): TrendView {
  const [fromMs, toMs, spanMs] = ['fromMs', 'toMs', 'spanMs'].map((name) =>
    Number(query.get(name) ?? Number.NaN),
  );
  if (isTime(fromMs) && isTime(toMs) && toMs - fromMs >= SPAN_MS_MIN) return { kind: 'past', fromMs, toMs };
  const isSpan = spanMs !== undefined && spanMs >= SPAN_MS_MIN && spanMs <= SPAN_MS_MAX;
  return { kind: 'live', spanMs: isSpan ? spanMs : SPAN_MS_DEFAULT };
}

function isTime(value: number | undefined): value is number {
  return value !== undefined && Number.isFinite(value);
}
