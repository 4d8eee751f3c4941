import { IsLiteral, IsObject, IsUnion, Type, type TSchema } from 'typebox';
import { Errors } from 'typebox/value';
import type { FaultParts } from '../contract/faults.ts';

type ShapeError = ReturnType<typeof Errors>[number];

const GOT_LENGTH_MAX = 80;

/** What is wrong with a value that does not fit its schema: the first thing, in words that name it. */
export function misfit(schema: TSchema, value: unknown, subject: string): FaultParts {
  const [error] = Errors(narrowed(schema, value), value);
  if (error === undefined) throw new Error('A value that fits has no misfit.');
  const keys = [...keysOf(error.instancePath), ...missingKeys(error)];
  return {
    subject: [subject, ...keys].join('.'),
    got: gotText(keys.reduce<unknown>(memberOf, value)),
    expected: expectedText(error),
    remedy: 'mend it and send it again; /api/docs says what each request takes',
  };
}

/** A value as a message may show it: cut, and with nothing in it that breaks the line. */
export function gotText(value: unknown): string {
  if (value === undefined) return 'nothing';
  const text = JSON.stringify(value);
  return text.length <= GOT_LENGTH_MAX ? text : `${text.slice(0, GOT_LENGTH_MAX)}…`;
}

/**
 * The schema with each union of kinds narrowed to the kind that the value says it is. Otherwise the first
 * thing wrong would be that it is not of some other kind.
 */
function narrowed(schema: TSchema, value: unknown): TSchema {
  if (!isObject(value)) return schema;
  const variants = variantsOf(schema);
  if (variants !== undefined) {
    const named = variants.find(({ kind }) => kind === value['kind']);
    if (named !== undefined) return narrowed(named.schema, value);
    return Type.Object({ kind: Type.Enum(variants.map(({ kind }) => kind)) });
  }
  const properties = propertiesOf(schema);
  if (properties === undefined) return schema;
  const inner = Object.entries(properties).map(([key, of]) => [key, narrowed(of, value[key])] as const);
  return { ...schema, properties: Object.fromEntries<TSchema>(inner) };
}

interface Variant {
  readonly kind: string;
  readonly schema: TSchema;
}

/** The members of a union of objects that each say their `kind`; undefined for any other schema. */
function variantsOf(schema: TSchema): readonly Variant[] | undefined {
  if (!IsUnion(schema)) return undefined;
  const variants = schema.anyOf.flatMap((member) => {
    const kind = propertiesOf(member)?.['kind'];
    return kind !== undefined && IsLiteral(kind) ? [{ kind: String(kind.const), schema: member }] : [];
  });
  return variants.length === schema.anyOf.length ? variants : undefined;
}

function propertiesOf(schema: TSchema): Readonly<Record<string, TSchema>> | undefined {
  return IsObject(schema) ? schema.properties : undefined;
}

function keysOf(pointer: string): readonly string[] {
  const keys = pointer.split('/').slice(1);
  return keys.map((key) => key.replaceAll('~1', '/').replaceAll('~0', '~'));
}

function missingKeys({ keyword, params }: ShapeError): readonly string[] {
  if (keyword !== 'required' || !('requiredProperties' in params)) return [];
  return params.requiredProperties.slice(0, 1);
}

function memberOf(value: unknown, key: string): unknown {
  return isObject(value) && Object.hasOwn(value, key) ? value[key] : undefined;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

function expectedText({ keyword, params, message }: ShapeError): string {
  if (keyword === 'required') return 'a value';
  if ('allowedValues' in params) return `one of ${params.allowedValues.join(', ')}`;
  if ('allowedValue' in params) return JSON.stringify(params.allowedValue);
  if ('comparison' in params) return `${params.comparison} ${params.limit}`;
  if ('type' in params) return [params.type].flat().join(' or ');
  if (!('limit' in params)) return message;
  const thing = keyword.endsWith('Items') ? 'entries' : 'characters';
  return `${keyword.startsWith('min') ? 'at least' : 'at most'} ${params.limit} ${thing}`;
}
