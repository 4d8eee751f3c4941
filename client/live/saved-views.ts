import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

/** A view of the Trends under a name: its address, as a link has it. */
export interface SavedView {
  readonly name: string;
  readonly query: string;
}

const KEY = 'sievewright.trend-views';
const VIEWS_MAX = 40;

/** The views that this reader has saved, kept in this browser; the newest of a name wins. */
export function savedViewsStore(
  storage: Pick<Storage, 'getItem' | 'setItem'>,
): SnapshotStore<readonly SavedView[]> {
  const store = snapshotStore(savedViewsFrom(storage.getItem(KEY)));
  return {
    ...store,
    set(views) {
      const kept = views.slice(-VIEWS_MAX);
      storage.setItem(KEY, JSON.stringify(kept));
      store.set(kept);
    },
  };
}

export function withView(views: readonly SavedView[], view: SavedView): readonly SavedView[] {
  return [...withoutView(views, view.name), view];
}

export function withoutView(views: readonly SavedView[], name: string): readonly SavedView[] {
  return views.filter((one) => one.name !== name);
}

/** What cannot be read is as good as nothing kept. */
export function savedViewsFrom(text: string | null): readonly SavedView[] {
  try {
    const parsed: unknown = JSON.parse(text ?? '[]');
    return Array.isArray(parsed) ? parsed.filter(isView) : [];
  } catch {
    return [];
  }
}

function isView(kept: unknown): kept is SavedView {
  if (typeof kept !== 'object' || kept === null) return false;
  const { name, query } = kept as Partial<Record<string, unknown>>;
  return typeof name === 'string' && typeof query === 'string';
}
