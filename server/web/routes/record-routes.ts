import { HandSampleSchema, LotSchema, MarkSchema, ShiftSchema } from '../../contract/records.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { inRange, rangeFrom } from './query-schemas.ts';

/** What is kept beside samples and alarms: lots, shifts, marks, hand samples. */
export function recordRoutes(app: WebApp, { records }: WebHouse): void {
  app.get(
    '/api/lots',
    { schema: inRange('records', 'Lots that ran at some time in the range', LotSchema) },
    async ({ query }) => [...(await records.lots(rangeFrom(query)))],
  );
  app.get(
    '/api/shifts',
    { schema: inRange('records', 'Shifts that ran at some time in the range', ShiftSchema) },
    async ({ query }) => [...(await records.shifts(rangeFrom(query)))],
  );
  app.get(
    '/api/marks',
    { schema: inRange('records', 'Marks on the time axis', MarkSchema) },
    async ({ query }) => [...(await records.marks(rangeFrom(query)))],
  );
  app.get(
    '/api/hand-samples',
    { schema: inRange('records', 'Hand samples by when they were taken', HandSampleSchema) },
    async ({ query }) => [...(await records.handSamples(rangeFrom(query)))],
  );
}
