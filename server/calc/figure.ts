import type { UnknownReason } from './unknown-reason.ts';

/**
 * A computed value: known, or unknown *because*. There is no third thing: no NaN, no 0 in place of an
 * answer, no last good number.
 */
export type Figure<Value extends number> =
  | { readonly known: true; readonly value: Value }
  | { readonly known: false; readonly because: UnknownReason };

export function known<Value extends number>(value: Value): Figure<Value> {
  return { known: true, value };
}

export function unknown<Value extends number>(because: UnknownReason): Figure<Value> {
  return { known: false, because };
}
