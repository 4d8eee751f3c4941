import type { Engine } from '../engine/engine.ts';
import { toCrossing } from './crossing-fault.ts';
import { PIECES_AHEAD, type Answer, type StreamMessage } from './messages.ts';

export type Post = (answer: Answer, transfer?: readonly ArrayBuffer[]) => void;

/** Answers that come in pieces, each reader in its turn. */
export interface AnswerStreams {
  open(id: number, message: StreamMessage): void;
  /** The reader has taken a piece. */
  more(id: number): void;
  close(id: number): void;
  /** Works until the time is up or every reader has its pieces; true when there is more to do. */
  work(endMs: number): boolean;
}

interface OpenStream {
  readonly id: number;
  readonly pieces: Generator<object | null>;
  credit: number;
}

export function newAnswerStreams(engine: Engine, post: Post, tickMs: () => number): AnswerStreams {
  const streams: OpenStream[] = [];
  const isHungry = ({ credit }: OpenStream): boolean => credit > 0;
  const indexOf = (id: number): number => streams.findIndex((stream) => stream.id === id);
  return {
    open(id, message) {
      streams.push({ id, pieces: piecesOf(engine, message), credit: PIECES_AHEAD });
    },
    more(id) {
      const stream = streams[indexOf(id)];
      if (stream !== undefined) stream.credit++;
    },
    close(id) {
      const i = indexOf(id);
      if (i >= 0) streams.splice(i, 1);
    },
    work(endMs) {
      while (tickMs() < endMs) {
        const i = streams.findIndex(isHungry);
        const [stream] = i < 0 ? [] : streams.splice(i, 1);
        if (stream === undefined) return false;
        // To the back of the row: each reader gets its turn.
        if (advance(stream, post)) streams.push(stream);
      }
      return streams.some(isHungry);
    },
  };
}

/** False when the stream is over. */
function advance(stream: OpenStream, post: Post): boolean {
  try {
    const next = stream.pieces.next();
    if (next.done === true) {
      post({ kind: 'end', id: stream.id });
      return false;
    }
    if (next.value === null) return true;
    stream.credit--;
    post({ kind: 'piece', id: stream.id, piece: next.value }, buffersOf(next.value));
    return true;
  } catch (error) {
    post({ kind: 'failed', id: stream.id, error: toCrossing(error) });
    return false;
  }
}

function piecesOf(engine: Engine, stream: StreamMessage): Generator<object | null> {
  switch (stream.name) {
    case 'raw':
      return engine.raw(stream.ask);
    case 'thinned':
      return engine.thinned(stream.ask);
    case 'totals':
      return engine.totals(stream.ask);
  }
}

/** Buffers that go to the reader instead of being copied. */
function buffersOf(piece: object): readonly ArrayBuffer[] {
  const views = Object.values(piece).filter((value) => ArrayBuffer.isView(value));
  return [...new Set(views.map((view) => view.buffer))].filter((buffer) => buffer instanceof ArrayBuffer);
}
