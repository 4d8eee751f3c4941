import swagger from '@fastify/swagger';
import swaggerUi from '@fastify/swagger-ui';
import { CONTRACT_VERSION } from '../contract/version.ts';
import { withNamedSchemas, withNamesSetAside } from './named-schemas.ts';
import { API_PAGE_POLICY } from './security-headers.ts';
import type { WebApp } from './web-house.ts';

/** The description of every route, made from the schemas that check them; must come before the routes. */
export async function apiDocument(app: WebApp): Promise<void> {
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Sievewright',
        version: String(CONTRACT_VERSION),
        description:
          'What a seed-conditioning line does, did and was said about it. The live socket is described in ' +
          'server/contract/socket-protocol.md. This server only watches: nothing here reaches the plant, and it ' +
          'replaces no interlock.',
      },
    },
    transform: ({ schema, url }) => ({ schema: withNamesSetAside(schema), url }),
    transformObject: (document) =>
      'openapiObject' in document ? withNamedSchemas(document.openapiObject) : document.swaggerObject,
  });
  await app.register(swaggerUi, { routePrefix: '/api/docs', staticCSP: API_PAGE_POLICY });
  app.get('/api/openapi.json', { schema: { hide: true } }, () => app.swagger());
}
