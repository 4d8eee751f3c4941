/**
 * The places where an upset takes hold of the plant, by kind and target.
 *
 * A lever at 0 changes nothing. The physics reads levers, upsets pull them; neither knows the other.
 */
export interface Levers {
  /** How far a lever is pulled now; 0 when nobody ever touched it. */
  size(kind: string, target?: string): number;
  pull(lever: PulledLever): void;
  /** Levers that are not at 0, for the truth. */
  pulled(): readonly PulledLever[];
  release(): void;
}

export interface PulledLever {
  readonly kind: string;
  readonly target: string;
  readonly size: number;
}

export function createLevers(): Levers {
  const kinds = new Map<string, Map<string, number>>();
  return {
    size: (kind, target = '') => kinds.get(kind)?.get(target) ?? 0,
    pull({ kind, target, size }) {
      const targets = kinds.get(kind) ?? new Map<string, number>();
      kinds.set(kind, targets);
      targets.set(target, (targets.get(target) ?? 0) + size);
    },
    pulled: () =>
      [...kinds].flatMap(([kind, targets]) =>
        [...targets].flatMap(([target, size]) => (size === 0 ? [] : [{ kind, target, size }])),
      ),
    release() {
      kinds.clear();
    },
  };
}
