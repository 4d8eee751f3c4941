import type { TSchema } from 'typebox';
import { Errors } from 'typebox/value';

/** One way in which a value does not fit its schema. */
export interface ShapeError {
  readonly keyword: string;
  /** Keys from the top, as a JSON pointer. */
  readonly instancePath: string;
  readonly params: object;
  readonly message: string;
  /** What the schema says in words about the value at that place. */
  readonly description: string | null;
}

/**
 * How a value does not fit its schema, in the order of the schema; empty when it fits.
 *
 * Of a union only one variant is complained about: the one that the value names by its kind, otherwise the one that
 * it comes nearest to. What the others would have wanted would mislead.
 */
export function shapeErrors(schema: TSchema, value: unknown): readonly ShapeError[] {
  const errors = Errors(schema, value).filter(({ keyword }) => keyword !== 'boolean');
  const first = errors[0];
  if (first === undefined) return [];
  const at = first.schemaPath.indexOf('/anyOf/');
  if (at !== -1) return unionErrors(schema, value, placeOf(first, at));
  return errors.map(({ keyword, instancePath, params, message, schemaPath }) => {
    const said = valueAt([...keysOf(schemaPath), 'description'], schema);
    return { keyword, instancePath, params, message, description: typeof said === 'string' ? said : null };
  });
}

interface UnionPlace {
  readonly schemaKeys: readonly string[];
  readonly valueKeys: readonly string[];
}

/** Each step into properties or items is a step into the value. */
function placeOf(error: { schemaPath: string; instancePath: string }, at: number): UnionPlace {
  const schemaKeys = keysOf(error.schemaPath.slice(0, at));
  let depth = 0;
  for (let index = 0; index < schemaKeys.length; index += 1) {
    const isNamed = schemaKeys[index] === 'properties' || schemaKeys[index] === 'patternProperties';
    if (isNamed) index += 1;
    if (isNamed || schemaKeys[index] === 'items') depth += 1;
  }
  return { schemaKeys, valueKeys: keysOf(error.instancePath).slice(0, depth) };
}

function unionErrors(schema: TSchema, value: unknown, place: UnionPlace): readonly ShapeError[] {
  const variants = Object.values(valueAt([...place.schemaKeys, 'anyOf'], schema) as Record<string, TSchema>);
  const chosen = nearest(variants, valueAt(place.valueKeys, value));
  const before = place.valueKeys.map((key) => `/${key.replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
  return chosen.map((error) => ({ ...error, instancePath: before + error.instancePath }));
}

function nearest(variants: readonly TSchema[], value: unknown): readonly ShapeError[] {
  const tag = tagOf(variants);
  const said = tag === null ? undefined : valueAt([tag], value);
  const named = variants.filter((variant) => tag === null || constOf(variant, tag) === said);
  if (tag !== null && named.length === 0 && typeof value === 'object' && value !== null) {
    const allowedValues = [...new Set(variants.map((variant) => constOf(variant, tag)))];
    return [
      { keyword: 'enum', instancePath: `/${tag}`, params: { allowedValues }, message: '', description: null },
    ];
  }
  const tried = (named.length === 0 ? variants : named).map((variant) => shapeErrors(variant, value));
  return tried.toSorted((a, b) => a.length - b.length)[0] ?? [];
}

/** The key by whose word all variants say what they are; null where there is none. */
function tagOf(variants: readonly TSchema[]): string | null {
  const [first] = variants;
  if (first === undefined) return null;
  const properties = valueAt(['properties'], first);
  const keys = typeof properties === 'object' && properties !== null ? Object.keys(properties) : [];
  return keys.find((key) => variants.every((variant) => constOf(variant, key) !== undefined)) ?? null;
}

function constOf(variant: TSchema, key: string): unknown {
  return valueAt(['properties', key, 'const'], variant);
}

/** What lies under these keys, or undefined. */
export function valueAt(keys: readonly string[], value: unknown): unknown {
  return keys.reduce<unknown>(
    (at, key) => (typeof at === 'object' && at !== null ? Reflect.get(at, key) : undefined),
    value,
  );
}

/** The keys of a JSON pointer. */
export function keysOf(pointer: string): readonly string[] {
  return pointer
    .split('/')
    .slice(1)
    .map((key) => key.replaceAll('~1', '/').replaceAll('~0', '~'));
}
