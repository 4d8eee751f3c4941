import { Type } from 'typebox';
import { Fault } from '../../contract/faults.ts';
import type { Finding } from '../../contract/machine-health.ts';
import { FindingEntrySchema } from '../../contract/machine-records.ts';
import {
  MachinePageSchema,
  MachinesAnswerSchema,
  type MachinesAnswer,
} from '../../contract/machine-standing.ts';
import type { MachineWatch } from '../../ports/machine-watch.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { inRange, rangeFrom, RangeProperties, Refusals } from './query-schemas.ts';

/** How the machines stand, one machine's past, and the work list to take away. Learning is a command. */
export function machineRoutes(app: WebApp, house: WebHouse): void {
  app.get(
    '/api/machines',
    {
      schema: {
        tags: ['machines'],
        summary: 'All watched machines in order of concern, with what was found and what many have in common',
        response: { 200: MachinesAnswerSchema, ...Refusals },
      },
    },
    () => watchOf(house).standing(),
  );
  app.get(
    '/api/machines/:machine',
    {
      schema: {
        tags: ['machines'],
        summary:
          'One machine over a time: points beside its baseline, residuals, start-ups, notes and repairs',
        params: Type.Object({ machine: Type.String() }),
        querystring: Type.Object(RangeProperties),
        response: { 200: MachinePageSchema, ...Refusals },
      },
    },
    async ({ params, query }) => {
      const page = await watchOf(house).page(params.machine, rangeFrom(query));
      if (page !== null) return page;
      throw new Fault('REQUEST_UNKNOWN', {
        subject: 'machine',
        got: params.machine,
        expected: 'a machine that /api/machines lists',
        remedy: 'nothing is answered',
      });
    },
  );
  workListRoutes(app, house);
}

function workListRoutes(app: WebApp, house: WebHouse): void {
  app.get(
    '/api/machines/findings',
    {
      schema: inRange(
        'machines',
        'What was found in the range, and when it changed or was over',
        FindingEntrySchema,
      ),
    },
    async ({ query }) => [...(await house.records.findings(rangeFrom(query)))],
  );
  app.get(
    '/api/machines/work-list',
    {
      exposeHeadRoute: false,
      schema: {
        tags: ['machines'],
        summary: 'Findings that stand, one line a machine, as CSV',
        response: { 200: CsvSchema, ...Refusals },
      },
    },
    async (_, reply) => {
      reply.header('content-type', 'text/csv; charset=utf-8');
      reply.header('content-disposition', 'attachment; filename="work-list.csv"');
      return workList(await watchOf(house).standing());
    },
  );
}

const CsvSchema = {
  description: 'The work list',
  content: { 'text/csv': { schema: Type.String() } },
};

function watchOf({ machines }: WebHouse): MachineWatch {
  if (machines !== undefined) return machines;
  throw new Fault('REQUEST_UNKNOWN', {
    subject: 'machines',
    got: 'a configuration without a file of machines',
    expected: 'a "machines" key in the plant file',
    remedy: 'name the file and start the server again',
  });
}

const HEADINGS = [
  'machine',
  'found',
  'since',
  'signals',
  'possible cause',
  'certainty',
  'check',
  'due from',
  'due',
  'due until',
];

/** Instants in UTC by ISO 8601; what is not known is empty. */
function workList({ machines, causes }: MachinesAnswer): string {
  const rows = machines.flatMap(({ name, finding }) =>
    finding === null ? [] : [workRow(name, finding, causes)],
  );
  return `${[HEADINGS, ...rows].map((row) => row.map(cell).join(',')).join('\r\n')}\r\n`;
}

function workRow(name: string, finding: Finding, causes: MachinesAnswer['causes']): readonly string[] {
  const { deviations, causes: found, due } = finding;
  const [first] = found;
  const about = causes.find(({ cause }) => cause === first?.cause);
  return [
    name,
    instant(finding.foundMs),
    instant(finding.sinceMs),
    deviations.map(({ signal, direction }) => `${signal} ${direction}`).join('; '),
    ...(about === undefined ? ['', '', ''] : [about.name, first?.certainty ?? '', about.check]),
    ...(due === null ? ['', '', ''] : [due.earliestMs, due.middleMs, due.latestMs].map(instant)),
  ];
}

function instant(timeMs: number | null): string {
  return timeMs === null ? '' : new Date(timeMs).toISOString();
}

/** Quoted as RFC 4180 says; a leading sign that a spreadsheet would take for a formula is set off. */
function cell(text: string): string {
  const safe = /^[=+\-@]/.test(text) ? ` ${text}` : text;
  return `"${safe.replaceAll('"', '""')}"`;
}
