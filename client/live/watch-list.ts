/** What one part of the screen wants to be told. */
export interface Wish {
  readonly figures?: readonly string[];
  readonly tags?: readonly string[];
}

/** The sum of all wishes on the screen: the server is asked for each id once, however many parts show it. */
export interface WatchList {
  /** Adds a wish; the answer takes it back. */
  add(wish: Wish): () => void;
  figures(): string[];
  tags(): string[];
}

export function watchList(onChange: () => void): WatchList {
  const figures = new Map<string, number>();
  const tags = new Map<string, number>();
  return {
    add(wish) {
      const hasNew = [count(figures, wish.figures, 1), count(tags, wish.tags, 1)].some(Boolean);
      if (hasNew) onChange();
      let isHeld = true;
      return () => {
        if (!isHeld) return;
        isHeld = false;
        const hasGone = [count(figures, wish.figures, -1), count(tags, wish.tags, -1)].some(Boolean);
        if (hasGone) onChange();
      };
    },
    figures: () => [...figures.keys()],
    tags: () => [...tags.keys()],
  };
}

/** Says whether an id came or went, which is when the server must be asked anew. */
function count(counts: Map<string, number>, ids: readonly string[] | undefined, step: 1 | -1): boolean {
  let hasChanged = false;
  for (const id of ids ?? []) {
    const next = (counts.get(id) ?? 0) + step;
    if (next <= 0) counts.delete(id);
    else counts.set(id, next);
    hasChanged ||= next === 0 || (next === 1 && step === 1);
  }
  return hasChanged;
}
