/** A node's id for this connection, or why the text names none. */
export type ResolvedNode =
  | { readonly isResolved: true; readonly nodeId: string }
  | { readonly isResolved: false; readonly problem: string };

const IDENTIFIER = /^(?:i=\d+|s=[\s\S]+|g=[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}|b=[A-Za-z0-9+/]+=*)$/i;

/**
 * Turns `nsu=<uri>;s=<id>` into the `ns=<index>;s=<id>` that holds for one connection. The index of a namespace
 * may move whenever the plant's server restarts, and then a remembered index names other nodes or none, without
 * any error. So the URI is looked up anew in each connection's namespace array, and a bare index is refused.
 * Without a prefix the node belongs to the standard's own namespace, whose index is always 0.
 *
 * Source   OPC UA Part 6, 5.3.1.10 and 5.3.1.11: text form, `%3B` and `%25` inside a URI.
 */
export function resolvedNode(node: string, namespaces: readonly string[]): ResolvedNode {
  if (/^ns=/i.test(node)) {
    return problem(
      `${node} names its namespace by an index, which moves when the plant restarts; use nsu=<uri>;`,
    );
  }
  const parts = /^nsu=([^;]*);([\s\S]*)$/.exec(node);
  const identifier = parts?.[2] ?? node;
  if (!IDENTIFIER.test(identifier)) return problem(`${node} has no identifier of the form i=, s=, g= or b=`);
  if (parts === null) return { isResolved: true, nodeId: `ns=0;${identifier}` };

  const uri = unescaped(parts[1] ?? '');
  const index = namespaces.indexOf(uri);
  if (index < 0) return problem(`the plant has no namespace ${uri}`);
  return { isResolved: true, nodeId: `ns=${index};${identifier}` };
}

function unescaped(uri: string): string {
  return uri.replace(/%3B/gi, ';').replace(/%25/g, '%');
}

function problem(text: string): ResolvedNode {
  return { isResolved: false, problem: text };
}
