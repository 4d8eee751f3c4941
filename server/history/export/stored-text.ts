import { STORED_REASON, STORED_STATUS, unknownReason } from '../../contract/stored-status.ts';

const STATUS_TEXTS = textsOf(STORED_STATUS);
const REASON_TEXTS = textsOf(STORED_REASON);

export function statusText(stored: number): string {
  return STATUS_TEXTS.get(stored) ?? String(stored);
}

/** Empty when there is nothing to say. */
export function reasonText(stored: number): string {
  if (stored === STORED_REASON.none) return '';
  return unknownReason(stored) ?? REASON_TEXTS.get(stored) ?? String(stored);
}

function textsOf(numbers: Readonly<Record<string, number>>): ReadonlyMap<number, string> {
  return new Map(Object.entries(numbers).map(([text, number]) => [number, text]));
}
