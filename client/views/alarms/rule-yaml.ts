/** A rule's keys that say what it is about; a proposal names the rule by its id and changes the others. */
const FIXED = new Set(['id', 'kind', 'line', 'machine', 'subject', 'card']);

/** A proposal in YAML that changes nothing yet: the rule's id and every key that can be tried. */
export function proposalFor(rule: { readonly id: string } & object): string {
  const tried = Object.entries(rule).filter(([key]) => !FIXED.has(key));
  const lines = tried.flatMap(([key, value]) => keyLines(key, value));
  return ['rules:', `  - id: ${rule.id}`, ...lines.map((line) => `    ${line}`), ''].join('\n');
}

function keyLines(key: string, value: unknown): string[] {
  if (!Array.isArray(value)) return [`${key}: ${inlineText(value)}`];
  return [`${key}:`, ...value.map((item: unknown) => `  - ${inlineText(item)}`)];
}

/** On one line: scalars bare where that is safe, all else in YAML's flow style. */
function inlineText(value: unknown): string {
  if (typeof value === 'string') return isPlain(value) ? value : JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.map((item) => inlineText(item)).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const pairs = Object.entries(value).map(([key, item]) => `${key}: ${inlineText(item)}`);
  return `{ ${pairs.join(', ')} }`;
}

/** Words that some reader of YAML takes for a truth value or for nothing. */
const SPECIAL = /^(y|n|yes|no|on|off|true|false|null)$/i;

function isPlain(text: string): boolean {
  return /^[A-Za-z][\w.-]*$/.test(text) && !SPECIAL.test(text);
}
