/**
 * The document with each schema that has a name written once, under `components`, and pointed to from where it is
 * used. Our schemas hold each other as values, so without this each would be spelled out at every use, nameless.
 */
export function withNamedSchemas<Document extends object>(document: Document): Document {
  const schemas: Record<string, unknown> = {};
  const named = hoisted(document, schemas) as Document & { readonly components?: object };
  const sorted = Object.fromEntries(Object.entries(schemas).sort(([a], [b]) => (a < b ? -1 : 1)));
  return { ...named, components: { ...named.components, schemas: sorted } };
}

function hoisted(node: unknown, schemas: Record<string, unknown>): unknown {
  if (Array.isArray(node)) return node.map((item) => hoisted(item, schemas));
  if (typeof node !== 'object' || node === null) return node;
  const { $id: name, ...rest } = node as Readonly<Record<string, unknown>>;
  const inner = Object.fromEntries(
    Object.entries(rest).map(([key, value]) => [key, hoisted(value, schemas)]),
  );
  if (typeof name !== 'string') return inner;
  schemas[name] = inner;
  return { $ref: `#/components/schemas/${name}` };
}
