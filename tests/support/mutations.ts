import fc from 'fast-check';

/** Text that programs stumble over: empty, long, control characters, other alphabets, names that objects have by birth. */
export const oddText: fc.Arbitrary<string> = fc.oneof(
  fc.constantFrom(
    '',
    ' ',
    '0x10',
    '1e999',
    'NaN',
    'null',
    '-0',
    '__proto__',
    'constructor',
    'toString',
    '\0',
    '../..',
    '%00',
    '🌾',
    'x'.repeat(5000),
  ),
  fc.string({ maxLength: 40 }),
  fc.string({ maxLength: 20, unit: 'binary' }),
);

const oddValue: fc.Arbitrary<unknown> = fc.oneof(
  oddText,
  fc.constantFrom(null, true, false, 0, -1, 1e308, 2 ** 53, 0.1, [], {}, [[[[]]]]),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.jsonValue({ maxDepth: 4 }),
);

/** What is valid with one place in it changed to something odd, left out, or given twice as deep. */
export function mutated(valid: fc.Arbitrary<unknown>): fc.Arbitrary<unknown> {
  return fc
    .tuple(valid, fc.array(fc.nat(), { minLength: 1, maxLength: 6, size: 'max' }), oddValue, fc.boolean())
    .map(([value, steps, odd, isLeftOut]) => changedAt(value, steps, { odd, isLeftOut }));
}

interface Change {
  readonly odd: unknown;
  readonly isLeftOut: boolean;
}

function changedAt(value: unknown, [step = 0, ...rest]: readonly number[], change: Change): unknown {
  const entries = entriesOf(value);
  const chosen = entries[step % Math.max(1, entries.length)];
  if (chosen === undefined) return change.odd;
  const isHere = rest.length === 0 || entriesOf(chosen[1]).length === 0;
  const changed = entries.flatMap((entry): readonly Entry[] => {
    if (entry !== chosen) return [entry];
    if (!isHere) return [[entry[0], changedAt(entry[1], rest, change)]];
    return change.isLeftOut ? [] : [[entry[0], change.odd]];
  });
  return Array.isArray(value) ? changed.map(([, item]) => item) : Object.fromEntries(changed);
}

type Entry = readonly [key: string, value: unknown];

function entriesOf(value: unknown): readonly Entry[] {
  return typeof value === 'object' && value !== null ? Object.entries(value) : [];
}
