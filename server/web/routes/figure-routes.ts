import { Type } from 'typebox';
import { BalanceReportSchema } from '../../contract/balance-report.ts';
import { Fault } from '../../contract/faults.ts';
import { FigureProvenanceSchema } from '../../contract/figure-provenance.ts';
import { LagReportSchema } from '../../contract/lag-report.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { Refusals } from './query-schemas.ts';

/** Why a figure is what it is, and what the balance says of the scales and the readings of the lags. */
export function figureRoutes(app: WebApp, { figures }: WebHouse): void {
  app.get(
    '/api/figures/:id/provenance',
    {
      schema: {
        tags: ['plant'],
        summary:
          'Why a figure is what it is: formula, inputs with their times and errors, and what makes it uncertain',
        params: Type.Object({ id: Type.String({ maxLength: 200 }) }),
        response: { 200: FigureProvenanceSchema, ...Refusals },
      },
    },
    ({ params: { id } }) => {
      const provenance = figures.explained(id);
      if (provenance !== null) return provenance;
      throw new Fault('REQUEST_UNKNOWN', {
        subject: 'figure',
        got: id,
        expected: 'a figure of /api/plant, after the first tick',
        remedy: 'correct the id, or ask again in a second',
      });
    },
  );
  app.get(
    '/api/balances',
    {
      schema: {
        tags: ['plant'],
        summary:
          'The newest balance of each line: reconciled flows beside measured, and the instrument that does not fit',
        response: { 200: Type.Array(BalanceReportSchema), ...Refusals },
      },
    },
    () => [...figures.balances()],
  );
  app.get(
    '/api/lags',
    {
      schema: {
        tags: ['plant'],
        summary:
          'The lag of each stream as the readings show it, and whether the configured one agrees with it',
        response: { 200: Type.Array(LagReportSchema), ...Refusals },
      },
    },
    () => [...figures.lags()],
  );
}
