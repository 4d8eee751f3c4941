import { Type } from 'typebox';
import { BeforeAfterAnswerSchema, MeasuredAnswerSchema } from '../../contract/stretch-answer.ts';
import { whileWanted } from '../client-gone.ts';
import { knownSeries } from '../history/known-series.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { rangeFrom, RangeProperties, Refusals, TimeMsSchema } from './query-schemas.ts';

const SERIES_MAX = 24;
const SPAN_MS_MIN = 10_000;
const SPAN_MS_MAX = 32 * 86_400_000;

const SeriesSchema = Type.Array(Type.String(), {
  minItems: 1,
  maxItems: SERIES_MAX,
  description: 'Tags and figures, as in series=a&series=b',
});

/** What was between two instants, and what was before and after one. */
export function stretchRoutes(app: WebApp, { stretches, seriesOf, clock }: WebHouse): void {
  app.get(
    '/api/history/measured',
    {
      schema: {
        tags: ['history'],
        summary: 'Mean, least, most, spread, slope and total of series over one stretch of time',
        querystring: Type.Object({ series: SeriesSchema, ...RangeProperties }),
        response: { 200: MeasuredAnswerSchema, ...Refusals },
      },
    },
    ({ query }, reply) => {
      const request = { series: knownSeries(query.series, seriesOf), ...rangeFrom(query) };
      return stretches.measured(request, whileWanted(reply));
    },
  );
  app.get(
    '/api/history/before-after',
    {
      schema: {
        tags: ['history'],
        summary: 'How series stood before and after an instant, with the 95 % interval of the change',
        querystring: Type.Object({
          series: SeriesSchema,
          atMs: TimeMsSchema,
          spanMs: Type.Number({
            minimum: SPAN_MS_MIN,
            maximum: SPAN_MS_MAX,
            description: 'Length of each side',
          }),
          settleMs: Type.Number({
            minimum: 0,
            maximum: SPAN_MS_MAX,
            description: 'Left out after the instant',
          }),
        }),
        response: { 200: BeforeAfterAnswerSchema, ...Refusals },
      },
    },
    ({ query: { series, ...rest } }, reply) => {
      const request = { series: knownSeries(series, seriesOf), ...rest, nowMs: clock.nowMs() };
      return stretches.beforeAfter(request, whileWanted(reply));
    },
  );
}
