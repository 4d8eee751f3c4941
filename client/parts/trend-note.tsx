import { useApp } from '../live/app-context.ts';
import type { TrendState } from '../live/trend-source.ts';

/** Says while a chart's past is being fetched, and when it could not be. */
export function TrendNote({ state }: { readonly state: Pick<TrendState, 'isLoading' | 'hasFailed'> }) {
  const { texts } = useApp();
  const note = state.hasFailed ? texts.trends.failed : state.isLoading ? texts.trends.loading : '';
  return (
    <span role="status" className="soft">
      {note}
    </span>
  );
}
