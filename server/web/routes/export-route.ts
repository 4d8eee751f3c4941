import { Readable } from 'node:stream';
import { Type } from 'typebox';
import { ExportFormatSchema } from '../../contract/export-format.ts';
import { Fault } from '../../contract/faults.ts';
import { whileWanted } from '../client-gone.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { rangeFrom, RangeProperties, Refusals } from './query-schemas.ts';

/** More names than one address can hold anyway. */
const NAMES_MAX = 1000;
/** Each has a thread of its own while it runs. */
const EXPORTS_MAX = 4;

const NamesSchema = Type.Array(Type.String({ minLength: 1 }), {
  minItems: 1,
  maxItems: NAMES_MAX,
  description: 'Tags and figures, past ones too, as in series=a&series=b; a.* is all that begin with a.',
});

/** Readings and figures to take away, streamed: an export of months needs no more memory than one of a minute. */
export function exportRoute(app: WebApp, { exportHistory }: WebHouse): void {
  let running = 0;
  app.get(
    '/api/history/export',
    {
      exposeHeadRoute: false,
      schema: {
        tags: ['history'],
        summary: 'Every sample of the series as a file, CSV or Parquet',
        description:
          'CSV as RFC 4180, times as ISO 8601 in UTC, the unit in the header or, where there are several, in a ' +
          'column of its own. An answer that breaks off is not complete: the server cannot say so any other way.',
        querystring: Type.Object({ series: NamesSchema, ...RangeProperties, format: ExportFormatSchema }),
        response: { 200: FileSchema, ...Refusals },
      },
    },
    async ({ query }, reply) => {
      const { series: names, format } = query;
      const range = rangeFrom(query);
      if (running >= EXPORTS_MAX) throw tooMany(running);
      running += 1;
      reply.raw.once('close', () => {
        running -= 1;
      });
      const file = await exportHistory({ names, format, ...range }, whileWanted(reply));
      reply.header('content-type', file.contentType);
      reply.header('content-disposition', `attachment; filename="${file.fileName}"`);
      return reply.send(Readable.from(file.body));
    },
  );
}

const FileSchema = {
  description: 'The file',
  content: {
    'text/csv': { schema: Type.Unsafe<Readable>(Type.String()) },
    'application/vnd.apache.parquet': { schema: Type.Unsafe<Readable>(Type.String({ format: 'binary' })) },
  },
};

function tooMany(got: number): Fault {
  return new Fault('REQUEST_BUSY', {
    subject: 'exports under way',
    got,
    expected: `< ${EXPORTS_MAX}`,
    remedy: 'ask again when one of them has ended, or use npm run export',
  });
}
