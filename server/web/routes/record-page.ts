import type { FastifyReply } from 'fastify';
import { Type, type Static, type TSchema } from 'typebox';
import { Fault } from '../../contract/faults.ts';
import type { RecordRange } from '../../ports/record-store.ts';
import { rangeFrom, RangeProperties, Refusals } from './query-schemas.ts';

/** In one answer; a lot with its products is a kilobyte of text. */
export const RECORDS_MAX = 5000;

const PageQuerySchema = Type.Object({
  ...RangeProperties,
  limit: Type.Optional(
    Type.Integer({ minimum: 1, maximum: RECORDS_MAX, description: 'Most entries of one answer' }),
  ),
  after: Type.Optional(
    Type.String({ pattern: '^[0-9]+([.][0-9]+)?_[0-9]+$', description: 'From the link to the next page' }),
  ),
});
type PageQuery = Static<typeof PageQuerySchema>;

/** A list of what lies in a range of time, in ascending time, of which a limit takes a page. */
export function pagedInRange<Entry extends TSchema>(summary: string, entry: Entry) {
  return {
    tags: ['records'],
    summary,
    description:
      `At most ${RECORDS_MAX}; more is refused unless a limit is given. With one, the header Link (RFC 8288) names ` +
      'the next page under rel="next"; the last page has none.',
    querystring: PageQuerySchema,
    response: { 200: Type.Array(entry), ...Refusals },
  };
}

export interface RecordPage<Entry> {
  readonly read: (range: RecordRange) => Promise<readonly Entry[]>;
  readonly timeMsOf: (entry: Entry) => number;
}

/**
 * The page that was asked for, and in the reply's header where the next one is.
 *
 * @throws Fault REQUEST_INVALID when there is more than one answer holds and no limit was given
 */
export async function recordPage<Entry extends { readonly id: number }>(
  query: PageQuery,
  reply: FastifyReply,
  { read, timeMsOf }: RecordPage<Entry>,
): Promise<Entry[]> {
  const { limit = RECORDS_MAX, after } = query;
  const found = await read({ ...rangeFrom(query), ...placeOf(after), limit: limit + 1 });
  if (found.length <= limit) return [...found];
  if (query.limit === undefined) throw tooMany();
  const page = found.slice(0, limit);
  const last = page.at(-1);
  if (last !== undefined) reply.header('link', nextLink(reply, `${timeMsOf(last)}_${last.id}`));
  return page;
}

function placeOf(after: string | undefined): Pick<RecordRange, 'after'> {
  if (after === undefined) return {};
  const [timeMs, id] = after.split('_').map(Number);
  return { after: { timeMs: timeMs ?? 0, id: id ?? 0 } };
}

function nextLink(reply: FastifyReply, after: string): string {
  const url = new URL(reply.request.url, 'http://here');
  url.searchParams.set('after', after);
  return `<${url.pathname}${url.search}>; rel="next"`;
}

function tooMany(): Fault {
  return new Fault('REQUEST_INVALID', {
    subject: 'query range [entries]',
    got: `more than ${RECORDS_MAX}`,
    expected: `<= ${RECORDS_MAX}`,
    remedy: `ask for a shorter time, or page by page with limit=${RECORDS_MAX}`,
  });
}
