import { afterEach } from 'vitest';
import { buildApp } from '#server/web/build-app.ts';
import type { WebApp, WebHouse } from '#server/web/web-house.ts';

const built: WebApp[] = [];

afterEach(async () => {
  await Promise.all(built.splice(0).map((app) => app.close()));
});

/** The app without a port, closed after the test. */
export async function appOf(house: WebHouse): Promise<WebApp> {
  const app = await buildApp(house);
  built.push(app);
  await app.ready();
  return app;
}

/** As a browser on this machine that opened the printed address. */
export const HERE = { host: '127.0.0.1:8080' };

export interface Answer {
  readonly status: number;
  readonly body: unknown;
}

export async function ask(app: WebApp, url: string): Promise<Answer> {
  const answer = await app.inject({ url, headers: HERE });
  return { status: answer.statusCode, body: answer.json<unknown>() };
}

export async function send(
  app: WebApp,
  body: unknown,
  headers: Readonly<Record<string, string>> = {},
): Promise<Answer> {
  const answer = await app.inject({
    method: 'POST',
    url: '/api/commands',
    headers: { ...HERE, 'content-type': 'application/json', ...headers },
    payload: typeof body === 'string' ? body : JSON.stringify(body),
  });
  return { status: answer.statusCode, body: answer.json<unknown>() };
}
