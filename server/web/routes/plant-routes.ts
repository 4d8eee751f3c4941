import { Fault } from '../../contract/faults.ts';
import { PlantDescriptionSchema } from '../../contract/plant-description.ts';
import { SnapshotSchema, type Snapshot } from '../../contract/socket-events.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { Refusals } from './query-schemas.ts';

/** What there is, and how all of it stands now. */
export function plantRoutes(app: WebApp, { plant, newest }: WebHouse): void {
  app.get(
    '/api/plant',
    {
      schema: {
        tags: ['plant'],
        summary: 'What there is: lines, machines, streams, tags, figures, crops',
        response: { 200: PlantDescriptionSchema, ...Refusals },
      },
    },
    () => plant,
  );
  app.get(
    '/api/now',
    {
      schema: {
        tags: ['plant'],
        summary: 'How everything stands now; what the live socket keeps up to date',
        response: { 200: SnapshotSchema, ...Refusals },
      },
    },
    () => snapshotOf(newest.snapshot()),
  );
}

export function snapshotOf(snapshot: Snapshot | null): Snapshot {
  if (snapshot !== null) return snapshot;
  throw new Fault('TICK_LATE', {
    subject: 'pipeline',
    got: 'no tick yet',
    expected: 'a first tick',
    remedy: 'the server is starting; ask again in a second',
  });
}
