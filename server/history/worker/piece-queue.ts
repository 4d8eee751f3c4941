/** Pieces of one answer on their way to its reader; its length is bounded by the pieces the reader has asked for. */
export interface PieceQueue<T> {
  add(piece: T): void;
  end(): void;
  fail(error: unknown): void;
  /** Null at the end; rejects when it failed, even if pieces wait. */
  next(): Promise<T | null>;
}

export function newPieceQueue<T>(): PieceQueue<T> {
  const pieces: T[] = [];
  let failure: { readonly error: unknown } | null = null;
  let isOver = false;
  let wake = Promise.withResolvers<void>();
  const change = (): void => {
    wake.resolve();
    wake = Promise.withResolvers<void>();
  };
  return {
    add(piece) {
      pieces.push(piece);
      change();
    },
    end() {
      isOver = true;
      change();
    },
    fail(error) {
      failure ??= { error };
      change();
    },
    async next() {
      for (;;) {
        if (failure !== null) throw failure.error;
        const piece = pieces.shift();
        if (piece !== undefined) return piece;
        if (isOver) return null;
        await wake.promise;
      }
    },
  };
}
