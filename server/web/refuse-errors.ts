import type { FastifyBaseLogger, FastifyError, FastifyReply } from 'fastify';
import { Fault, faultText, type FaultCode } from '../contract/faults.ts';
import type { Refusal } from '../contract/refusal.ts';
import { ClientGone } from './client-gone.ts';

const STATUS: Readonly<Partial<Record<FaultCode, number>>> = {
  // Of a configuration that somebody proposes; the server's own was checked before it began to serve.
  CONFIG_RANGE: 400,
  CONFIG_REFERENCE: 400,
  CONFIG_SHAPE: 400,
  CONFIG_SYNTAX: 400,
  COMMAND_REFUSED: 409,
  HISTORY_UNWRITABLE: 503,
  RECORDS_UNWRITABLE: 503,
  REQUEST_BUSY: 503,
  REQUEST_FOREIGN: 403,
  REQUEST_INVALID: 400,
  REQUEST_UNKNOWN: 404,
  TICK_LATE: 503,
};
const FAILED = 500;

/** Answers whatever was thrown in the one form. What is not the asker's doing is logged, and told without its inside. */
export function refuse(error: unknown, reply: FastifyReply, log: FastifyBaseLogger): FastifyReply {
  const { status, text } = refusalOf(error);
  if (status >= FAILED && !(error instanceof ClientGone)) {
    log.error({ err: error, url: reply.request.url }, text);
  }
  return reply.code(status).send({ error: text } satisfies Refusal);
}

interface RefusalText {
  readonly status: number;
  readonly text: string;
}

function refusalOf(error: unknown): RefusalText {
  if (error instanceof Fault) return { status: STATUS[error.code] ?? FAILED, text: error.message };
  const status = statusOf(error);
  if (status >= FAILED) return { status: FAILED, text: failedText() };
  // What the framework found before a route was reached: no JSON, too large, another kind of content.
  const got = error instanceof Error ? error.message : String(error);
  return {
    status,
    text: faultText('REQUEST_INVALID', {
      subject: 'request',
      got: got.replace(/[\r\n]+/g, ' '),
      expected: 'a request as /api/docs describes it',
      remedy: 'mend it and send it again',
    }),
  };
}

function statusOf(error: unknown): number {
  const status = error instanceof Error ? (error as Partial<FastifyError>).statusCode : undefined;
  return status !== undefined && status >= 400 && status < 600 ? status : FAILED;
}

function failedText(): string {
  return faultText('REQUEST_FAILED', {
    subject: 'server',
    got: 'a fault of its own',
    expected: 'an answer',
    remedy: 'try again; if it stays, the log of the server says what happened',
  });
}
