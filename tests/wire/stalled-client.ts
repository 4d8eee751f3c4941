import { randomBytes } from 'node:crypto';
import { connect, type Socket } from 'node:net';
import { once } from 'node:events';
import { eventually } from '#tests/support/eventually.ts';

/**
 * A browser's end of the live socket by hand, over a plain connection, because it must do what no library does:
 * stop reading while it stays connected. Per RFC 6455 (WebSocket) and the documented protocols of Engine.IO 4 and
 * Socket.IO 5.
 */
export interface StalledClient {
  readonly socket: Socket;
  /** Asks to watch; nothing is read any more from then on. */
  watchAndStall(request: unknown): void;
  /** Reads again, and answers every message that has come since, as it comes. */
  read(): void;
  readonly messages: readonly { readonly event: string; readonly said: unknown }[];
}

const OPENED = '40';
const EVENT = '42';

export async function stalledClient(port: number): Promise<StalledClient> {
  const socket = connect({ port, host: '127.0.0.1' });
  await once(socket, 'connect');
  const key = randomBytes(16).toString('base64');
  socket.write(
    'GET /socket.io/?EIO=4&transport=websocket HTTP/1.1\r\n' +
      `Host: 127.0.0.1:${port}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n` +
      `Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${key}\r\n\r\n`,
  );
  const messages: { event: string; said: unknown }[] = [];
  let held = Buffer.alloc(0);
  let hasGreeted = false;
  let isOpen = false;

  socket.on('data', (bytes: Buffer) => {
    held = Buffer.concat([held, bytes]);
    if (!hasGreeted) {
      const end = held.indexOf('\r\n\r\n');
      if (end === -1) return;
      held = held.subarray(end + 4);
      hasGreeted = true;
      socket.write(textFrame(OPENED));
    }
    for (let frame = firstFrame(held); frame !== null; frame = firstFrame(held)) {
      held = held.subarray(frame.byteCount);
      isOpen ||= frame.text.startsWith(OPENED);
      if (!frame.text.startsWith(EVENT)) continue;
      const [event, said] = JSON.parse(frame.text.slice(EVENT.length)) as [string, unknown];
      messages.push({ event, said });
    }
  });
  await eventually('the stalled client is connected', () => isOpen);
  return {
    socket,
    messages,
    watchAndStall(request) {
      socket.pause();
      socket.write(textFrame(`${EVENT}${JSON.stringify(['watch', request])}`));
    },
    read: () => void socket.resume(),
  };
}

const FINAL_TEXT = 0x81;
const MASKED = 0x80;
const TWO_BYTES_MORE = 126;
const EIGHT_BYTES_MORE = 127;

/** A client's frames are masked; a mask of zeros leaves the text as it is. */
function textFrame(text: string): Buffer {
  const payload = Buffer.from(text);
  const mask = Buffer.alloc(4);
  if (payload.length < TWO_BYTES_MORE) {
    return Buffer.concat([Buffer.from([FINAL_TEXT, MASKED | payload.length]), mask, payload]);
  }
  const head = Buffer.from([FINAL_TEXT, MASKED | TWO_BYTES_MORE, payload.length >> 8, payload.length & 0xff]);
  return Buffer.concat([head, mask, payload]);
}

interface Frame {
  readonly text: string;
  readonly byteCount: number;
}

/** The first whole frame; null while it has not all come. */
function firstFrame(bytes: Buffer): Frame | null {
  if (bytes.length < 2) return null;
  const short = (bytes[1] ?? 0) & 0x7f;
  const headBytes = short === EIGHT_BYTES_MORE ? 10 : short === TWO_BYTES_MORE ? 4 : 2;
  if (bytes.length < headBytes) return null;
  const byteCount = headBytes + payloadBytes(bytes, short);
  if (bytes.length < byteCount) return null;
  return { text: bytes.toString('utf8', headBytes, byteCount), byteCount };
}

function payloadBytes(bytes: Buffer, short: number): number {
  if (short === EIGHT_BYTES_MORE) return Number(bytes.readBigUInt64BE(2));
  return short === TWO_BYTES_MORE ? bytes.readUInt16BE(2) : short;
}
