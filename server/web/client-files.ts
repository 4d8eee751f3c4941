import { existsSync } from 'node:fs';
import { join, sep } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Fault } from '../contract/faults.ts';
import { gotText } from './misfit.ts';
import type { WebApp } from './web-house.ts';

/** Built files whose names change with their content. */
const HASHED = `${sep}assets${sep}`;
const KEPT_FOR_EVER = 'public, max-age=31536000, immutable';
const ASKED_EACH_TIME = 'no-cache';

/** What must answer for itself: a page in place of an answer or a script would only fail later, and less plainly. */
const NO_PAGE = /^\/(api|assets|socket\.io)(\/|$)/;

/** The built pages. Every address that is nothing else is the page itself, which finds its view from the address. */
export async function clientFiles(app: WebApp, folder: string): Promise<void> {
  const isBuilt = existsSync(join(folder, 'index.html'));
  if (isBuilt) {
    await app.register(fastifyStatic, {
      root: folder,
      cacheControl: false,
      setHeaders: (reply, path) => {
        void reply.header('cache-control', path.includes(HASHED) ? KEPT_FOR_EVER : ASKED_EACH_TIME);
      },
    });
  }
  app.setNotFoundHandler((request, reply) => {
    if (!isForPage(request)) throw notThere(request);
    if (!isBuilt) throw notBuilt(folder);
    return page(reply);
  });
}

function page(reply: FastifyReply): FastifyReply {
  return reply.sendFile('index.html');
}

function isForPage({ method, url }: FastifyRequest): boolean {
  return (method === 'GET' || method === 'HEAD') && !NO_PAGE.test(url.split('?', 1)[0] ?? url);
}

function notThere({ method, url }: FastifyRequest): Fault {
  return new Fault('REQUEST_UNKNOWN', {
    subject: 'address',
    got: gotText(`${method} ${url}`),
    expected: 'one that /api/docs lists',
    remedy: 'mend the address or the method',
  });
}

function notBuilt(folder: string): Fault {
  return new Fault('REQUEST_UNKNOWN', {
    subject: 'pages',
    got: `no index.html in ${folder}`,
    expected: 'the built pages',
    remedy: 'start the server with npm start, which builds them',
  });
}
