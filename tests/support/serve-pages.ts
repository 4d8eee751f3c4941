import { createReadStream, existsSync } from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import path from 'node:path';
import { SECURITY_HEADERS } from '#server/web/security-headers.ts';
import { PROJECT_ROOT } from '#server/launch/project-root.mjs';

const PAGES = path.join(PROJECT_ROOT, 'client', 'dist');

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff': 'font/woff',
  '.woff2': 'font/woff2',
};

/** Answers with a file of the built pages; any other address is a view of the one page. */
export function servePages(pathname: string, response: ServerResponse): void {
  const asked = path.join(PAGES, path.normalize(pathname));
  const isFile = asked.startsWith(PAGES) && path.extname(asked) !== '' && existsSync(asked);
  const file = isFile ? asked : path.join(PAGES, 'index.html');
  response.writeHead(200, {
    ...SECURITY_HEADERS,
    'content-type': TYPES[path.extname(file)] ?? 'application/octet-stream',
  });
  createReadStream(file).pipe(response);
}

export function sendJson(response: ServerResponse, body: unknown, status = 200): void {
  response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body));
}

export async function jsonBody(request: IncomingMessage): Promise<unknown> {
  const pieces: Uint8Array[] = [];
  for await (const piece of request) pieces.push(piece as Uint8Array);
  return JSON.parse(Buffer.concat(pieces).toString('utf8'));
}
