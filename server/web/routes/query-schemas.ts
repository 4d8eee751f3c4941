import { Type, type TSchema } from 'typebox';
import { Fault } from '../../contract/faults.ts';
import { RefusalSchema } from '../../contract/refusal.ts';
import type { TimeRange } from '../../ports/record-store.ts';

/** The last instant that JavaScript's own dates know. */
const TIME_MS_MAX = 8.64e15;

export const TimeMsSchema = Type.Number({
  minimum: 0,
  maximum: TIME_MS_MAX,
  description: 'Milliseconds since 1970',
});

export const RangeProperties = { fromMs: TimeMsSchema, toMs: TimeMsSchema };

/** What any route may answer instead of what was asked. */
export const Refusals = { '4xx': RefusalSchema, '5xx': RefusalSchema };

/**
 * A range that holds at least one instant.
 *
 * @throws Fault REQUEST_INVALID
 */
export function rangeFrom({ fromMs, toMs }: TimeRange): TimeRange {
  if (fromMs < toMs) return { fromMs, toMs };
  throw new Fault('REQUEST_INVALID', {
    subject: 'query.toMs',
    got: toMs,
    expected: `> fromMs, which is ${fromMs}`,
    remedy: 'ask for a range whose end comes after its start',
  });
}

/** A list of what lies in a range of time, in ascending time unless the summary says otherwise. */
export function inRange<Entry extends TSchema>(tag: string, summary: string, entry: Entry) {
  return {
    tags: [tag],
    summary,
    querystring: Type.Object(RangeProperties),
    response: { 200: Type.Array(entry), ...Refusals },
  };
}
