import { Readable } from 'node:stream';
import { Type } from 'typebox';
import { AlarmCatalogueSchema } from '../../contract/alarm-catalogue.ts';
import {
  JOURNAL_EXPORT_MAX,
  JOURNAL_PAGE_MAX,
  JournalEntrySchema,
  JournalFilterProperties,
  JournalPageSchema,
  type JournalFilter,
} from '../../contract/alarm-journal.ts';
import { AlarmMeasuresSchema, ShiftMeasuresSchema } from '../../contract/alarm-measures.ts';
import { AlarmMessageSchema } from '../../contract/alarm-message.ts';
import { ReplayAnswerSchema, ReplayRequestSchema } from '../../contract/alarm-replay.ts';
import type { TimeRange } from '../../ports/record-store.ts';
import { journalCsv } from '../alarms/journal-csv.ts';
import { fittingEntries, journalPage } from '../alarms/journal-search.ts';
import { whileWanted } from '../client-gone.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { snapshotOf } from './plant-routes.ts';
import { inRange, rangeFrom, RangeProperties, Refusals } from './query-schemas.ts';

const PAGE_DEFAULT = 200;
/** A week of a line that is well looked after; what is more is searched for. */
const JOURNAL_LIST_MAX = 5000;

/** Alarms as they stand, their journal, how good they are, and what other rules would have done. */
export function alarmRoutes(app: WebApp, house: WebHouse): void {
  app.get(
    '/api/alarms',
    {
      schema: {
        tags: ['alarms'],
        summary: 'Every alarm that is not normal now, withheld ones too',
        response: { 200: Type.Array(AlarmMessageSchema), ...Refusals },
      },
    },
    () => snapshotOf(house.newest.snapshot()).alarms,
  );
  app.get(
    '/api/alarms/catalogue',
    {
      schema: {
        tags: ['alarms'],
        summary: 'Rules, response cards and suppressions, as configured',
        response: { 200: AlarmCatalogueSchema, ...Refusals },
      },
    },
    () => house.alarms.catalogue,
  );
  journalRoutes(app, house);
  exportRoute(app, house);
  studyRoutes(app, house);
}

function journalRoutes(app: WebApp, { records }: WebHouse): void {
  app.get(
    '/api/alarms/journal',
    {
      schema: inRange(
        'alarms',
        `What happened to alarms; of more than ${JOURNAL_LIST_MAX} entries the newest`,
        JournalEntrySchema,
      ),
    },
    async ({ query }) => {
      const newest = {
        ...rangeFrom(query),
        order: 'newest-first',
        after: null,
        limit: JOURNAL_LIST_MAX,
      } as const;
      return (await records.alarmEntries(newest)).toReversed();
    },
  );
  app.get(
    '/api/alarms/journal/search',
    {
      schema: {
        tags: ['alarms'],
        summary: 'Entries of the journal that fit, newest first, a page at a time',
        querystring: Type.Object({
          ...RangeProperties,
          ...JournalFilterProperties,
          after: Type.Optional(Type.String({ description: 'The "next" of the page before' })),
          limit: Type.Optional(Type.Integer({ minimum: 1, maximum: JOURNAL_PAGE_MAX })),
        }),
        response: { 200: JournalPageSchema, ...Refusals },
      },
    },
    ({ query }, reply) => {
      const { after, limit = PAGE_DEFAULT } = query;
      const page = { ...rangeFrom(query), filter: filterFrom(query), limit };
      return journalPage(records, after === undefined ? page : { ...page, after }, whileWanted(reply));
    },
  );
}

function exportRoute(app: WebApp, { records }: WebHouse): void {
  app.get(
    '/api/alarms/journal/export',
    {
      exposeHeadRoute: false,
      schema: {
        tags: ['alarms'],
        summary: `Entries of the journal that fit, oldest first, as CSV; at most ${JOURNAL_EXPORT_MAX}`,
        querystring: Type.Object({ ...RangeProperties, ...JournalFilterProperties }),
        response: { 200: CsvSchema, ...Refusals },
      },
    },
    async ({ query }, reply) => {
      const asked = { ...rangeFrom(query), filter: filterFrom(query), order: 'oldest-first' as const };
      reply.header('content-type', 'text/csv; charset=utf-8');
      reply.header('content-disposition', `attachment; filename="${fileName(asked)}"`);
      const body = journalCsv(fittingEntries(records, asked, null));
      return await reply.send(Readable.from(body, { signal: whileWanted(reply) }));
    },
  );
}

function studyRoutes(app: WebApp, { alarms }: WebHouse): void {
  app.get(
    '/api/alarms/measures',
    {
      schema: {
        tags: ['alarms'],
        summary: 'How good the alarms were, against the targets of ISA-18.2 / IEC 62682 and EEMUA 191',
        querystring: Type.Object({ ...RangeProperties, line: Type.Optional(Type.String()) }),
        response: { 200: AlarmMeasuresSchema, ...Refusals },
      },
    },
    ({ query }) => alarms.measures(rangeFrom(query), query.line ?? null),
  );
  app.get(
    '/api/alarms/measures/shifts',
    {
      schema: inRange(
        'alarms',
        'The same of each shift that began in the range, newest first',
        ShiftMeasuresSchema,
      ),
    },
    async ({ query }) => [...(await alarms.shiftMeasures(rangeFrom(query)))],
  );
  app.post(
    '/api/alarms/replay',
    {
      schema: {
        tags: ['alarms'],
        summary: 'What proposed rules would have done over recorded history; changes nothing',
        body: ReplayRequestSchema,
        response: { 200: ReplayAnswerSchema, ...Refusals },
      },
    },
    ({ body }, reply) => alarms.replay({ ...body, ...rangeFrom(body) }, whileWanted(reply)),
  );
}

const CsvSchema = {
  description: 'The entries',
  content: { 'text/csv': { schema: Type.Unsafe<Readable>(Type.String()) } },
};

function filterFrom(query: JournalFilter): JournalFilter {
  const { line, machine, alarm, priority, to, by, text } = query;
  const given = Object.entries({ line, machine, alarm, priority, to, by, text });
  return Object.fromEntries(given.filter(([, value]) => value !== undefined));
}

function fileName({ fromMs, toMs }: TimeRange): string {
  const [from, to] = [fromMs, toMs].map((timeMs) => new Date(timeMs).toISOString().slice(0, 16));
  return `alarm-journal-${from ?? ''}-to-${to ?? ''}.csv`.replaceAll(':', '');
}
