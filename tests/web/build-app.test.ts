import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { webHouse } from './web-fixture.ts';
import { appOf, ask, HERE } from './http-app.ts';

const folder = mkdtempSync(join(tmpdir(), 'pages-'));
mkdirSync(join(folder, 'assets'));
writeFileSync(join(folder, 'index.html'), '<!doctype html><title>Sievewright</title>');
writeFileSync(join(folder, 'assets', 'page-1f2e.js'), 'export {};');
writeFileSync(join(folder, '..', 'beside-the-pages.txt'), 'not for the browser');
afterAll(() => {
  rmSync(folder, { recursive: true });
  rmSync(join(folder, '..', 'beside-the-pages.txt'));
});

const built = () => appOf(webHouse({ clientFolder: folder }));
const get = async (url: string) => (await built()).inject({ url, headers: HERE });

describe('the pages', () => {
  it.each(['/', '/trends', '/machines/destoner?since=yesterday'])(
    'are served at %s, asked for anew each time',
    async (url) => {
      const answer = await get(url);
      expect(answer.statusCode).toBe(200);
      expect(answer.headers['content-type']).toMatch(/^text\/html/);
      expect(answer.headers['cache-control']).toBe('no-cache');
      expect(answer.body).toContain('Sievewright');
    },
  );

  it('bring files with hashed names once and for ever', async () => {
    const answer = await get('/assets/page-1f2e.js');
    expect(answer.headers['cache-control']).toBe('public, max-age=31536000, immutable');
    expect(answer.headers['content-type']).toMatch(/javascript/);
  });

  it.each(['/assets/page-0000.js', '/api/no-such', '/api', '/api/plant/more'])(
    'do not stand in for %s',
    async (url) => {
      const answer = await get(url);
      expect(answer.statusCode).toBe(404);
      expect(answer.json()).toEqual({
        error: `REQUEST_UNKNOWN address: got "GET ${url}", expected one that /api/docs lists; mend the address or the method`,
      });
    },
  );

  it.each([
    '/../beside-the-pages.txt',
    '/%2e%2e/beside-the-pages.txt',
    '/assets/..%2f..%2fbeside-the-pages.txt',
  ])('never reach outside of their folder: %s', async (url) => {
    expect((await get(url)).body).not.toContain('not for the browser');
  });

  it('say how to be built when they are not', async () => {
    const { status, body } = await ask(await appOf(webHouse()), '/');
    expect(status).toBe(404);
    expect(body).toEqual({
      error:
        'REQUEST_UNKNOWN pages: got no index.html in /no/such/folder, expected the built pages; ' +
        'start the server with npm start, which builds them',
    });
  });
});

describe('every answer', () => {
  it.each(['/', '/api/plant', '/api/no-such', '/assets/page-1f2e.js'])(
    'forbids scripts from elsewhere: %s',
    async (url) => {
      const { headers } = await get(url);
      expect(headers['content-security-policy']).toBe(
        "default-src 'self'; img-src 'self' data:; font-src 'self' data:; object-src 'none'; base-uri 'none'; " +
          "form-action 'none'; frame-ancestors 'none'",
      );
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['access-control-allow-origin']).toBeUndefined();
    },
  );

  it.each([
    ['localhost', 200],
    ['localhost:8080', 200],
    ['127.0.0.1:8080', 200],
    ['[::1]:8080', 200],
    ['elsewhere.example:8080', 403],
    ['127.0.0.1.elsewhere.example', 403],
    ['localhost.elsewhere.example:8080', 403],
    ['192.168.1.5:8080', 403],
    ['a b', 403],
  ])('on loopback is for those who name this machine: %s gets %i', async (host, status) => {
    const app = await built();
    const answer = await app.inject({ url: '/api/plant', headers: { host } });
    expect(answer.statusCode).toBe(status);
    if (status === 403) {
      expect(answer.json<{ error: string }>().error).toBe(
        `REQUEST_FOREIGN header Host: got ${JSON.stringify(host)}, expected localhost or a loopback address; ` +
          'open the address that the server printed when it started',
      );
    }
  });

  it('on a wider network may name the server as that network does', async () => {
    const app = await appOf(webHouse({ host: '0.0.0.0' }));
    const answer = await app.inject({
      url: '/api/plant',
      headers: { host: 'sieve.quillmarsh.example:8080' },
    });
    expect(answer.statusCode).toBe(200);
  });
});

describe('the API document', () => {
  interface Document {
    readonly openapi: string;
    readonly paths: Readonly<Record<string, object>>;
    readonly components: { readonly schemas: Readonly<Record<string, object>> };
  }
  const document = async () => (await get('/api/openapi.json')).json<Document>();

  it('lists every route', async () => {
    const { openapi, paths } = await document();
    expect(openapi).toBe('3.1.0');
    expect(Object.keys(paths).sort()).toEqual([
      '/api/alarms',
      '/api/alarms/catalogue',
      '/api/alarms/journal',
      '/api/alarms/journal/export',
      '/api/alarms/journal/search',
      '/api/alarms/measures',
      '/api/alarms/measures/shifts',
      '/api/alarms/replay',
      '/api/balances',
      '/api/commands',
      '/api/figures/{id}/provenance',
      '/api/hand-samples',
      '/api/health',
      '/api/history/before-after',
      '/api/history/export',
      '/api/history/measured',
      '/api/history/raw',
      '/api/history/thinned',
      '/api/history/value-at',
      '/api/lags',
      '/api/lots',
      '/api/machines',
      '/api/machines/findings',
      '/api/machines/work-list',
      '/api/machines/{machine}',
      '/api/marks',
      '/api/now',
      '/api/plant',
      '/api/shifts',
    ]);
  });

  it('calls the schemas by the names of the contract, and points at each from where it is used', async () => {
    const text = JSON.stringify(await document());
    const { components } = await document();
    expect(Object.keys(components.schemas)).toEqual(
      expect.arrayContaining(['PlantDescription', 'Machine', 'Snapshot', 'CommandRequest', 'Lot', 'Refusal']),
    );
    const pointedAt = [...text.matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/g)].map(
      (match) => match[1],
    );
    expect(new Set(pointedAt)).toEqual(new Set(Object.keys(components.schemas)));
    expect(text).not.toMatch(/def-\d|\$id|x-schema-name/);
  });

  it('has a page to read it on, whose styles alone may stand in the page', async () => {
    const answer = await get('/api/docs');
    expect(answer.statusCode).toBe(200);
    expect(answer.body).toContain('swagger-ui');
    expect(answer.headers['content-security-policy']).toMatch(
      /^default-src 'self'; .*style-src 'self' 'unsafe-inline'$/,
    );
  });
});
