import type { FastifySchemaCompiler } from 'fastify';
import type { TSchema } from 'typebox';
import { Compile } from 'typebox/compile';
import { Fault } from '../contract/faults.ts';
import { misfit } from './misfit.ts';

/** A plain decimal number. What JavaScript would also take, such as an empty text or 0x10, is a mistake here. */
const DECIMAL = /^-?\d{1,17}(\.\d{1,17})?$/;

/** Checks what a request brings against its schema; what the schema does not name is left out. */
export const requestValidator: FastifySchemaCompiler<TSchema> = ({ schema, httpPart }) => {
  const check = Compile(schema);
  const subject = httpPart === 'querystring' ? 'query' : (httpPart ?? 'request');
  return (given: unknown) => {
    const value = httpPart === 'querystring' ? fromQuery(schema, given) : given;
    if (check.Check(value)) return { value: check.Clean(value) };
    return { error: new Fault('REQUEST_INVALID', misfit(schema, value, subject)) };
  };
};

/** A query holds texts alone: numbers are read where the schema wants them, one text is a list of one. */
function fromQuery(schema: TSchema, given: unknown): unknown {
  if (typeof given !== 'object' || given === null || !('properties' in schema)) return given;
  const types = schema.properties as Readonly<Record<string, { readonly type?: string }>>;
  const read = Object.entries(given).map(([key, value]) => [key, fromText(types[key]?.type, value)]);
  return Object.fromEntries(read);
}

function fromText(type: string | undefined, value: unknown): unknown {
  if (typeof value !== 'string') return value;
  if (type === 'array') return [value];
  if ((type === 'number' || type === 'integer') && DECIMAL.test(value)) return Number(value);
  return value;
}
