import { useSyncExternalStore } from 'react';

const NARROW = '(max-width: 999px)';

/** Whether the page has the width of a phone or a small tablet: the same width at which the styles change. */
export function useIsNarrow(): boolean {
  return useSyncExternalStore(subscribe, () => window.matchMedia(NARROW).matches);
}

function subscribe(listener: () => void): () => void {
  const query = window.matchMedia(NARROW);
  query.addEventListener('change', listener);
  return () => query.removeEventListener('change', listener);
}
