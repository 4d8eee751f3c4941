import { ESLint } from 'eslint';
import { beforeAll, describe, expect, it } from 'vitest';
import { PROJECT_ROOT } from './run-tool.ts';

/** A real file of each kind of room: the text that is linted stands in its place, so it has its types. */
const INNER = 'server/calc/figure.ts';
const CONTRACT = 'server/contract/faults.ts';
const PHYSICS = 'simulator/physics/parcel.ts';
const CLIENT = 'client/main.tsx';
const LAUNCH = 'server/launch/set-up.mjs';

const lines = (count: number, line: string) => Array.from({ length: count }, () => line).join('\n');

/** What each rule is there to catch. */
const CAUGHT: readonly (readonly [rule: string, file: string, source: string])[] = [
  ['no-restricted-globals', INNER, 'export const nowMs = () => Date.now();'],
  ['no-restricted-globals', INNER, 'export const now = () => new Date(2026, 0, 1).getTime();'],
  ['no-restricted-globals', INNER, 'export const format = new Intl.NumberFormat("en").format(1);'],
  ['no-restricted-properties', INNER, 'export const chance = () => Math.random();'],
  ['no-restricted-syntax', INNER, 'export const text = (1).toLocaleString();'],
  ['no-restricted-syntax', INNER, 'export const order = "a".localeCompare("b");'],
  ['no-restricted-properties', CONTRACT, 'export const nowMs = () => Date.now();'],
  ['no-restricted-globals', CONTRACT, 'export const wait = () => setTimeout(() => 1, 1);'],
  ['no-restricted-properties', PHYSICS, 'export const chance = () => Math.random();'],
  ['no-restricted-properties', CLIENT, 'export const chance = () => Math.random();'],
  ['@typescript-eslint/no-floating-promises', INNER, 'export function send() { Promise.resolve(1); }'],
  ['@typescript-eslint/no-misused-promises', INNER, '[1].forEach(async () => { await Promise.resolve(); });'],
  ['@typescript-eslint/no-unsafe-member-access', INNER, 'export const x: unknown = JSON.parse("1").x;'],
  ['@typescript-eslint/no-explicit-any', INNER, 'export const x: any = 1;'],
  ['@typescript-eslint/no-non-null-assertion', INNER, 'export const first = (list: number[]) => list[0]!;'],
  [
    '@typescript-eslint/switch-exhaustiveness-check',
    INNER,
    'export function f(x: "a" | "b") { switch (x) { case "a": return 1; } return 2; }',
  ],
  ['no-restricted-syntax', INNER, 'export enum Kind { A }'],
  ['no-restricted-syntax', INNER, 'export namespace Kind { export const a = 1; }'],
  ['no-restricted-syntax', INNER, 'export default function f() { return 1; }'],
  ['no-restricted-syntax', INNER, 'export { known } from "./units.ts";'],
  ['no-restricted-syntax', INNER, 'export * from "./units.ts";'],
  ['@typescript-eslint/max-params', INNER, 'export const f = (a: 1, b: 1, c: 1, d: 1) => [a, b, c, d];'],
  ['complexity', INNER, `export function f(x: number) { ${lines(11, 'if (x > 1) x += 1;')} return x; }`],
  ['max-lines-per-function', INNER, `export function f(x: number) {\n${lines(50, 'x += 1;')}\nreturn x; }`],
  ['max-lines', INNER, `let x = 1;\n${lines(300, 'x += 1;')}\nexport const y = x;`],
  ['no-console', CONTRACT, 'console.log(1);'],
  [
    'react-hooks/rules-of-hooks',
    CLIENT,
    'import { useState } from "react"; export function A(p: { b: boolean }) { if (p.b) useState(1); return null; }',
  ],
  ['@typescript-eslint/no-floating-promises', LAUNCH, 'Promise.resolve(1);'],
];

/** What must stay possible. */
const LET_BE: readonly (readonly [rule: string, file: string, source: string])[] = [
  ['no-restricted-globals', INNER, 'export const root = Math.sqrt(2);'],
  ['no-restricted-globals', CONTRACT, 'export const day = new Intl.DateTimeFormat("en");'],
  ['@typescript-eslint/restrict-template-expressions', INNER, 'export const text = `${1} kg`;'],
  ['no-console', LAUNCH, 'console.log(1);'],
  ['max-lines-per-function', INNER, `export function f(x: number) {\n${lines(45, 'x += 1;')}\nreturn x; }`],
];

describe('the linter', () => {
  const linter = new ESLint({ cwd: PROJECT_ROOT });
  const rulesBrokenBy = async (file: string, source: string) => {
    const [result] = await linter.lintText(source, { filePath: file });
    return result?.messages.map((message) => message.ruleId ?? message.message) ?? [];
  };
  // The first text waits for the types of all that the project uses.
  beforeAll(() => rulesBrokenBy(INNER, ''));

  it.each(CAUGHT)('says %s in %s of %j', async (rule, file, source) => {
    expect(await rulesBrokenBy(file, source)).toContain(rule);
  });

  it.each(LET_BE)('says no %s in %s of %j', async (rule, file, source) => {
    expect(await rulesBrokenBy(file, source)).not.toContain(rule);
  });
});
