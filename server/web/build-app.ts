import fastify, { LogController } from 'fastify';
import { Fault } from '../contract/faults.ts';
import { apiDocument } from './api-document.ts';
import { clientFiles } from './client-files.ts';
import { foreignRequest } from './foreign-request.ts';
import { refuseBytes } from './refuse-bytes.ts';
import { refuse } from './refuse-errors.ts';
import { requestValidator } from './request-validator.ts';
import { alarmRoutes } from './routes/alarm-routes.ts';
import { commandRoutes } from './routes/command-routes.ts';
import { exportRoute } from './routes/export-route.ts';
import { healthRoute } from './routes/health-route.ts';
import { figureRoutes } from './routes/figure-routes.ts';
import { historyRoutes } from './routes/history-routes.ts';
import { machineRoutes } from './routes/machine-routes.ts';
import { plantRoutes } from './routes/plant-routes.ts';
import { recordRoutes } from './routes/record-routes.ts';
import { stretchRoutes } from './routes/stretch-routes.ts';
import { SECURITY_HEADERS } from './security-headers.ts';
import type { WebApp, WebHouse } from './web-house.ts';

/** The largest is a lot with its products or a hand sample with its results. */
const BODY_BYTES_MAX = 65_536;
const REQUEST_MS_MAX = 30_000;
const ROUTES = [
  plantRoutes,
  figureRoutes,
  historyRoutes,
  stretchRoutes,
  exportRoute,
  alarmRoutes,
  machineRoutes,
  recordRoutes,
  commandRoutes,
  healthRoute,
] as const;

/** The whole HTTP side without a port, so that tests ask it directly. */
export async function buildApp(house: WebHouse): Promise<WebApp> {
  const app: WebApp = fastify({
    loggerInstance: house.log,
    logController: new LogController({ disableRequestLogging: true }),
    bodyLimit: BODY_BYTES_MAX,
    requestTimeout: REQUEST_MS_MAX,
    forceCloseConnections: true,
    clientErrorHandler: refuseBytes,
    // Without this Node answers a request that names no host before we can say what is wrong with it.
    http: { requireHostHeader: false },
    frameworkErrors: (error, _, reply) => void refuse(error, reply, house.log),
  });
  app.setValidatorCompiler(requestValidator);
  // The types hold the answers to their schemas; checking each number of a long column again would cost more
  // than reading it from the disk.
  app.setSerializerCompiler(() => (answer) => JSON.stringify(answer));
  app.setErrorHandler((error, _, reply) => refuse(error, reply, house.log));
  // Only JSON is taken: a form on another site can send anything else without asking first.
  app.removeContentTypeParser('text/plain');
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(SECURITY_HEADERS);
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
    const isRead = request.method === 'GET' || request.method === 'HEAD';
    const foreign = foreignRequest(request.headers, house.host, isRead);
    if (foreign !== null) throw new Fault('REQUEST_FOREIGN', foreign);
  });

  await apiDocument(app);
  for (const routes of ROUTES) routes(app, house);
  await clientFiles(app, house.clientFolder);
  return app;
}
