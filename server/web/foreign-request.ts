import type { IncomingHttpHeaders } from 'node:http';
import type { FaultParts } from '../contract/faults.ts';
import { gotText } from './misfit.ts';

const LOOPBACK_NAME = /^(localhost|127(\.\d{1,3}){3}|\[::1\])$/;

/**
 * Why a request must not be served whatever it asks: it names another server, or another site's page made it.
 *
 * A page from elsewhere can make a browser on this machine send requests here, and its owner can let the page's
 * own name point here (DNS rebinding). The first shows in Sec-Fetch-Site or Origin, the second in Host. Reading
 * across sites is stopped by the browser, so plain reads are only held to the name.
 */
export function foreignRequest(
  headers: IncomingHttpHeaders,
  boundTo: string,
  isRead: boolean,
): FaultParts | null {
  if (isLoopback(boundTo) && !LOOPBACK_NAME.test(nameIn(headers.host))) {
    return {
      subject: 'header Host',
      got: gotText(headers.host),
      expected: 'localhost or a loopback address',
      remedy: 'open the address that the server printed when it started',
    };
  }
  if (isRead || isFromHere(headers)) return null;
  return {
    subject: 'header Origin',
    got: gotText(headers.origin),
    expected: 'a page of this server, or no browser at all',
    remedy: 'act on the pages that this server gives out',
  };
}

function isLoopback(host: string): boolean {
  return LOOPBACK_NAME.test(host) || host === '::1';
}

/** The name in a Host header, without its port; empty when it is none. */
function nameIn(host: string | undefined): string {
  return URL.parse(`http://${host ?? ''}`)?.hostname ?? '';
}

/** A browser says in Sec-Fetch-Site, where it trusts the connection, whether the page is ours; else Origin tells. */
function isFromHere(headers: IncomingHttpHeaders): boolean {
  const site = headers['sec-fetch-site'];
  if (site !== undefined) return site === 'same-origin' || site === 'none';
  if (headers.origin === undefined) return true;
  return URL.parse(headers.origin)?.host === headers.host;
}
