import type {
  FastifyBaseLogger,
  FastifyInstance,
  RawReplyDefaultExpression,
  RawRequestDefaultExpression,
  RawServerDefault,
} from 'fastify';
import type { TypeBoxTypeProvider } from '@fastify/type-provider-typebox';
import type { NewestState } from './live/newest-state.ts';
import type { WebOptions } from './web-options.ts';

/** The app as routes see it: types of requests and answers follow from their schemas. */
export type WebApp = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression,
  RawReplyDefaultExpression,
  FastifyBaseLogger,
  TypeBoxTypeProvider
>;

/** What routes answer from. */
export interface WebHouse extends Omit<WebOptions, 'host' | 'port'> {
  readonly host: string;
  readonly newest: NewestState;
}
