import type { FastifyReply } from 'fastify';

/** Why work for an answer was given up: nobody waits for it any more. */
export class ClientGone extends Error {
  constructor() {
    super('The client went away before its answer was ready.');
    this.name = 'ClientGone';
  }
}

/** Aborted when the connection closes before the answer has gone out. */
export function whileWanted(reply: FastifyReply): AbortSignal {
  const gone = new AbortController();
  reply.raw.once('close', () => {
    if (!reply.raw.writableFinished) gone.abort(new ClientGone());
  });
  return gone.signal;
}
