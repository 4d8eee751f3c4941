import { isAlias, isMap, isScalar, isSeq, type Document, type LineCounter, type Node } from 'yaml';

interface Found {
  readonly node: unknown;
  readonly at: Node;
  readonly rest: string;
}

/**
 * The line of the deepest part of a path that is in the file, such as `lines.a.streams.feed`. In a list an entry is
 * named by its id. Keys and ids may hold dots, so the longest one that fits is taken.
 */
export function lineOfPath(document: Document, lines: LineCounter, path: string): number {
  let node: unknown = document.contents;
  let rest = path;
  let line = 1;
  for (;;) {
    const inside: unknown = isAlias(node) ? node.resolve(document) : node;
    const found = stepInto(inside, rest);
    if (found === undefined) return line;
    ({ node, rest } = found);
    line = lines.linePos(found.at.range?.[0] ?? 0).line;
  }
}

function stepInto(node: unknown, path: string): Found | undefined {
  return entriesOf(node)
    .filter(({ name }) => path === name || path.startsWith(`${name}.`))
    .toSorted((a, b) => b.name.length - a.name.length)
    .map(({ name, value, at }) => ({ node: value, at, rest: path.slice(name.length + 1) }))[0];
}

function entriesOf(node: unknown): { name: string; value: unknown; at: Node }[] {
  if (isMap(node)) {
    return node.items.flatMap(({ key, value }) =>
      isScalar(key) ? [{ name: String(key.value), value, at: key }] : [],
    );
  }
  if (!isSeq(node)) return [];
  return node.items.flatMap((item) => {
    if (!isMap(item)) return [];
    const name = item.get('id');
    return typeof name === 'string' ? [{ name, value: item, at: item }] : [];
  });
}
