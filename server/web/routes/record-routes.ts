import { HandSampleSchema, LotSchema, MarkSchema, ShiftSchema } from '../../contract/records.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { pagedInRange, recordPage } from './record-page.ts';

/** What is kept beside samples and alarms: lots, shifts, marks, hand samples. */
export function recordRoutes(app: WebApp, { records }: WebHouse): void {
  app.get(
    '/api/lots',
    { schema: pagedInRange('Lots that ran at some time in the range', LotSchema) },
    ({ query }, reply) =>
      recordPage(query, reply, { read: (range) => records.lots(range), timeMsOf: (lot) => lot.startedMs }),
  );
  app.get(
    '/api/shifts',
    { schema: pagedInRange('Shifts that ran at some time in the range', ShiftSchema) },
    ({ query }, reply) =>
      recordPage(query, reply, {
        read: (range) => records.shifts(range),
        timeMsOf: (shift) => shift.startedMs,
      }),
  );
  app.get('/api/marks', { schema: pagedInRange('Marks on the time axis', MarkSchema) }, ({ query }, reply) =>
    recordPage(query, reply, { read: (range) => records.marks(range), timeMsOf: ({ timeMs }) => timeMs }),
  );
  app.get(
    '/api/hand-samples',
    { schema: pagedInRange('Hand samples by when they were taken', HandSampleSchema) },
    ({ query }, reply) =>
      recordPage(query, reply, {
        read: (range) => records.handSamples(range),
        timeMsOf: ({ takenMs }) => takenMs,
      }),
  );
}
