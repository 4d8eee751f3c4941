import { Type } from 'typebox';
import { Fault } from '../../contract/faults.ts';
import { RawAnswerSchema, ThinnedAnswerSchema, ValueAtAnswerSchema } from '../../contract/history-answer.ts';
import { whileWanted } from '../client-gone.ts';
import { knownSeries, type NamedSeries } from '../history/known-series.ts';
import { rawAnswer, SAMPLES_MAX } from '../history/raw-answer.ts';
import { thinnedAnswer } from '../history/thinned-answer.ts';
import { valueAtAnswer } from '../history/value-at-answer.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { rangeFrom, RangeProperties, Refusals, TimeMsSchema } from './query-schemas.ts';

const SERIES_MAX = 100;
const BUCKETS_MAX = 20_000;
/** Buckets in one answer, all series together: twenty series of a whole screen's width have a fifth of them. */
const ANSWER_BUCKETS_MAX = 200_000;

const SeriesSchema = Type.Array(Type.String(), {
  minItems: 1,
  maxItems: SERIES_MAX,
  description: 'Tags and figures, as in series=a&series=b',
});
const BucketsSchema = Type.Integer({
  minimum: 1,
  maximum: BUCKETS_MAX,
  description: 'Most buckets of each series',
});

/** What was. A question whose asker goes away is given up. */
export function historyRoutes(app: WebApp, { samples, seriesOf }: WebHouse): void {
  app.get(
    '/api/history/thinned',
    {
      schema: {
        tags: ['history'],
        summary: 'Series thinned to buckets as columns; no spike is thinned away',
        querystring: Type.Object({ series: SeriesSchema, ...RangeProperties, buckets: BucketsSchema }),
        response: { 200: ThinnedAnswerSchema, ...Refusals },
      },
    },
    ({ query }, reply) => {
      const series = knownSeries(query.series, seriesOf);
      expectBounded(series, query.buckets);
      const question = { series, ...rangeFrom(query), buckets: query.buckets };
      return thinnedAnswer(samples, question, whileWanted(reply));
    },
  );
  app.get(
    '/api/history/raw',
    {
      schema: {
        tags: ['history'],
        summary: `Every sample of the series as columns, at most ${SAMPLES_MAX} in one answer`,
        querystring: Type.Object({ series: SeriesSchema, ...RangeProperties }),
        response: { 200: RawAnswerSchema, ...Refusals },
      },
    },
    ({ query }, reply) => {
      const question = { series: knownSeries(query.series, seriesOf), ...rangeFrom(query) };
      return rawAnswer(samples, question, whileWanted(reply));
    },
  );
  app.get(
    '/api/history/value-at',
    {
      schema: {
        tags: ['history'],
        summary: 'The newest sample at or before an instant of each series that has one',
        querystring: Type.Object({ series: SeriesSchema, timeMs: TimeMsSchema }),
        response: { 200: ValueAtAnswerSchema, ...Refusals },
      },
    },
    ({ query }) => valueAtAnswer(samples, knownSeries(query.series, seriesOf), query.timeMs),
  );
}

function expectBounded(series: readonly NamedSeries[], buckets: number): void {
  if (series.length * buckets <= ANSWER_BUCKETS_MAX) return;
  throw new Fault('REQUEST_INVALID', {
    subject: 'query.buckets',
    got: `${buckets} for each of ${series.length} series`,
    expected: `<= ${ANSWER_BUCKETS_MAX} in all`,
    remedy: 'ask for fewer buckets or fewer series at a time',
  });
}
