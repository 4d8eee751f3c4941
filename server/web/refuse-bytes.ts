import type { Socket } from 'node:net';
import { faultText } from '../contract/faults.ts';
import type { Refusal } from '../contract/refusal.ts';

const STATUS_LINES: Readonly<Record<string, string>> = {
  ERR_HTTP_REQUEST_TIMEOUT: '408 Request Timeout',
  HPE_HEADER_OVERFLOW: '431 Request Header Fields Too Large',
};

/** Answers bytes that are no request: there is nothing to route, so the answer is written by hand. */
export function refuseBytes(error: Error & { readonly code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const refusal: Refusal = {
    error: faultText('REQUEST_INVALID', {
      subject: 'request',
      got: error.message,
      expected: 'an HTTP/1.1 request',
      remedy: 'mend the program that sent it',
    }),
  };
  const body = JSON.stringify(refusal);
  socket.end(
    `HTTP/1.1 ${STATUS_LINES[error.code ?? ''] ?? '400 Bad Request'}\r\nConnection: close\r\n` +
      `Content-Type: application/json; charset=utf-8\r\nContent-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`,
  );
}
