/** Cuts a list into pieces of at most `size`, in order: servers and messages have limits. */
export function chunksOf<Item>(items: readonly Item[], size: number): readonly (readonly Item[])[] {
  const chunks: (readonly Item[])[] = [];
  for (let from = 0; from < items.length; from += size) chunks.push(items.slice(from, from + size));
  return chunks;
}
