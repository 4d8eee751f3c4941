import { CommandRequestSchema, CommandResultSchema } from '../../contract/commands.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { Refusals } from './query-schemas.ts';

/** The only way to change anything, and nothing of it reaches the plant. */
export function commandRoutes(app: WebApp, { desk }: WebHouse): void {
  app.post(
    '/api/commands',
    {
      schema: {
        tags: ['commands'],
        summary: 'Acknowledge an alarm, start or end a lot, write a mark, record a hand sample',
        description:
          'Answered when the change is durable. A command that does not fit the state of things is answered too, ' +
          'as not done. No command reaches the plant.',
        body: CommandRequestSchema,
        response: { 200: CommandResultSchema, ...Refusals },
      },
    },
    ({ body }) => desk.carryOut(body),
  );
}
