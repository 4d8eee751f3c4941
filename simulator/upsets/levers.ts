/**
 * The places where an upset takes hold of the plant, by kind and target.
 *
 * A lever at 0 changes nothing. The physics reads levers, upsets set them; neither knows the other.
 */
export interface Lever {
  value: number;
}

export interface Levers {
  of(kind: string, target?: string): Lever;
  /** Levers that are not at 0, for the truth. */
  pulled(): readonly { readonly name: string; readonly value: number }[];
  release(): void;
}

export function createLevers(): Levers {
  const levers = new Map<string, Lever>();
  return {
    of(kind, target = '') {
      const name = target === '' ? kind : `${kind} ${target}`;
      const known = levers.get(name);
      if (known !== undefined) return known;
      const fresh = { value: 0 };
      levers.set(name, fresh);
      return fresh;
    },
    pulled: () => [...levers].flatMap(([name, { value }]) => (value === 0 ? [] : [{ name, value }])),
    release() {
      for (const lever of levers.values()) lever.value = 0;
    },
  };
}
