import { Type, type TSchema } from 'typebox';
import { AlarmMessageSchema, AlarmTransitionSchema } from '../../contract/alarm-message.ts';
import { HandSampleSchema, LotSchema, MarkSchema, ShiftSchema } from '../../contract/records.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { snapshotOf } from './plant-routes.ts';
import { rangeFrom, RangeProperties, Refusals } from './query-schemas.ts';

const RangeSchema = Type.Object(RangeProperties);

/** Alarms as they stand, and everything that is kept beside samples: the journal, lots, shifts, marks, hand samples. */
export function recordRoutes(app: WebApp, { newest, records }: WebHouse): void {
  app.get(
    '/api/alarms',
    {
      schema: {
        tags: ['alarms'],
        summary: 'Every alarm that is not normal now',
        response: { 200: Type.Array(AlarmMessageSchema), ...Refusals },
      },
    },
    () => snapshotOf(newest.snapshot()).alarms,
  );
  app.get(
    '/api/alarms/journal',
    { schema: inRange('alarms', 'What happened to alarms', AlarmTransitionSchema) },
    async ({ query }) => [...(await records.alarmJournal(rangeFrom(query)))],
  );
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

/** A list of what lies in a range of time, in ascending time. */
function inRange<Entry extends TSchema>(tag: string, summary: string, entry: Entry) {
  return {
    tags: [tag],
    summary,
    querystring: RangeSchema,
    response: { 200: Type.Array(entry), ...Refusals },
  };
}
