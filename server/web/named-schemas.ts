const MARK = 'x-schema-name';

/**
 * Our schemas hold each other as values and carry their names in `$id`, which the document's maker drops or turns
 * into numbers. So the names are set aside before it reads the schemas, and afterwards each named schema is
 * written once, under `components`, and pointed to from where it is used.
 */
export function withNamesSetAside<Schema>(schema: Schema): Schema {
  return renamed(schema) as Schema;
}

export function withNamedSchemas<Document extends object>(document: Document): Document {
  const schemas: Record<string, unknown> = {};
  const named = hoisted(document, schemas) as Document & { readonly components?: object };
  const sorted = Object.fromEntries(Object.entries(schemas).sort(([a], [b]) => (a < b ? -1 : 1)));
  return { ...named, components: { ...named.components, schemas: sorted } };
}

function renamed(node: unknown): unknown {
  return mapped(node, (object) => {
    const entries = Object.entries(object).map(([key, value]) => [
      key === '$id' ? MARK : key,
      renamed(value),
    ]);
    return Object.fromEntries(entries);
  });
}

function hoisted(node: unknown, schemas: Record<string, unknown>): unknown {
  return mapped(node, ({ [MARK]: name, ...rest }) => {
    const entries = Object.entries(rest).map(([key, value]) => [key, hoisted(value, schemas)]);
    const inner: unknown = Object.fromEntries(entries);
    if (typeof name !== 'string') return inner;
    schemas[name] = inner;
    return { $ref: `#/components/schemas/${name}` };
  });
}

function mapped(node: unknown, change: (object: Readonly<Record<string, unknown>>) => unknown): unknown {
  if (Array.isArray(node)) return node.map((item) => mapped(item, change));
  if (typeof node !== 'object' || node === null) return node;
  return change(node as Readonly<Record<string, unknown>>);
}
