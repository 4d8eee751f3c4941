import { Type, type TSchema } from 'typebox';

/** A value or null; null always means "there is none", never zero. */
export function nullable<Schema extends TSchema>(schema: Schema) {
  return Type.Union([schema, Type.Null()]);
}
