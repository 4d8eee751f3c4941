/** Pieces of one answer on their way to its reader; its length is bounded by the pieces the reader has asked for. */
export interface PieceQueue {
  add(piece: unknown): void;
  end(): void;
  fail(error: unknown): void;
  /** Null at the end; rejects when it failed, even if pieces wait. */
  next(): Promise<unknown>;
}

export function newPieceQueue(): PieceQueue {
  const pieces: unknown[] = [];
  let failure: { readonly error: unknown } | null = null;
  let isOver = false;
  let wake: () => void = () => undefined;
  return {
    add(piece) {
      pieces.push(piece);
      wake();
    },
    end() {
      isOver = true;
      wake();
    },
    fail(error) {
      failure ??= { error };
      wake();
    },
    async next() {
      while (failure === null && pieces.length === 0 && !isOver) {
        await new Promise<void>((resolve) => (wake = resolve));
      }
      if (failure !== null) throw failure.error;
      return pieces.shift() ?? null;
    },
  };
}
