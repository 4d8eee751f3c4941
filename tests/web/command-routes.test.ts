import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import type { CommandRequest, CommandResult } from '#server/contract/commands.ts';
import { Fault } from '#server/contract/faults.ts';
import { aLot } from '#tests/support/record-builders.ts';
import { webHouse } from './web-fixture.ts';
import { appOf, send } from './http-app.ts';

const ACTOR = { id: 'Ada', role: 'operator' } as const;
const ACKNOWLEDGE: CommandRequest = {
  actor: ACTOR,
  command: { kind: 'acknowledge-alarm', alarm: 'line-1.destoner.stopped' },
};

/** A desk that notes what reaches it. */
async function deskOf(carryOut: () => Promise<CommandResult>) {
  const reached: CommandRequest[] = [];
  const logged: string[] = [];
  const log = pino({ level: 'error' }, { write: (line: string) => void logged.push(line) });
  const desk = { carryOut: (request: CommandRequest) => (reached.push(request), carryOut()) };
  return { app: await appOf(webHouse({ desk, log })), reached, logged };
}
const done = () => Promise.resolve({ done: true, recordId: 7 } as const);

describe('POST /api/commands', () => {
  it('hands the command to the desk with who gave it, and answers what the desk says', async () => {
    const { app, reached } = await deskOf(done);
    expect(await send(app, ACKNOWLEDGE)).toEqual({ status: 200, body: { done: true, recordId: 7 } });
    expect(reached).toEqual([ACKNOWLEDGE]);
  });

  it('answers a refusal of the desk as an answer, not as an error', async () => {
    const refusal = { done: false, refused: 'COMMAND_REFUSED lot: got none running' } as const;
    const { app } = await deskOf(() => Promise.resolve(refusal));
    expect(await send(app, ACKNOWLEDGE)).toEqual({ status: 200, body: refusal });
  });

  it('passes on nothing that its schema does not name', async () => {
    const { app, reached } = await deskOf(done);
    const more = { ...ACKNOWLEDGE, command: { ...ACKNOWLEDGE.command, speed: 9 }, token: 'x' };
    await send(app, more);
    expect(reached).toEqual([ACKNOWLEDGE]);
  });

  it.each([
    [
      'a command that there is not',
      { actor: ACTOR, command: { kind: 'open-valve' } },
      'body.command.kind: got "open-valve", expected one of acknowledge-alarm, acknowledge-alarms, reset-alarm, shelve-alarm, unshelve-alarm, take-alarm-out-of-service, put-alarm-back-in-service, take-machine-out-of-service, put-machine-back-in-service, start-lot, end-lot, write-mark, record-hand-sample, learn-machine',
    ],
    [
      'nobody',
      { ...ACKNOWLEDGE, actor: { id: '', role: 'operator' } },
      'body.actor.id: got "", expected at least 1 characters',
    ],
    [
      'a role that there is not',
      { ...ACKNOWLEDGE, actor: { id: 'Ada', role: 'root' } },
      'body.actor.role: got "root", expected one of viewer, operator, maintenance, manager, engineer',
    ],
    [
      'a lot of negative mass',
      { actor: ACTOR, command: { kind: 'start-lot', lot: aLot({ massKgPlanned: -1 }) } },
      'body.command.lot.massKgPlanned: got -1, expected > 0',
    ],
    [
      'an end without its line',
      { actor: ACTOR, command: { kind: 'end-lot' } },
      'body.command.line: got nothing, expected a value',
    ],
    ['no object', [], 'body: got [], expected object'],
  ])('refuses %s, names it, and asks nothing of the desk', async (_, body, text) => {
    const { app, reached } = await deskOf(done);
    expect(await send(app, body)).toEqual({
      status: 400,
      body: {
        error: `REQUEST_INVALID ${text}; mend it and send it again; /api/docs says what each request takes`,
      },
    });
    expect(reached).toEqual([]);
  });

  it.each([
    { what: 'text that is no JSON', body: '{"actor":', status: 400 },
    { what: 'nothing', body: '', status: 400 },
    { what: 'a key that would reach into all objects', body: '{"__proto__":{"done":true}}', status: 400 },
    { what: 'a form', body: 'actor=Ada', type: 'application/x-www-form-urlencoded', status: 415 },
    { what: 'plain text', body: JSON.stringify(ACKNOWLEDGE), type: 'text/plain', status: 415 },
    { what: 'more than any command needs', body: JSON.stringify({ more: 'x'.repeat(70_000) }), status: 413 },
  ])('refuses $what in the one form', async ({ body, type = 'application/json', status }) => {
    const { app, reached } = await deskOf(done);
    const answer = await send(app, body, { 'content-type': type });
    expect(answer.status).toBe(status);
    expect((answer.body as { error: string }).error).toMatch(
      /^REQUEST_INVALID request: got .+, expected .+; /,
    );
    expect(reached).toEqual([]);
  });

  it('says that the records cannot be written when the desk meets that', async () => {
    const fault = new Fault('RECORDS_UNWRITABLE', {
      subject: 'f',
      got: 'a full disk',
      expected: 'room',
      remedy: 'make some',
    });
    const { app } = await deskOf(() => Promise.reject(fault));
    expect(await send(app, ACKNOWLEDGE)).toEqual({
      status: 503,
      body: { error: 'RECORDS_UNWRITABLE f: got a full disk, expected room; make some' },
    });
  });

  it('tells the inside of a bug to the log and not to the browser', async () => {
    const { app, logged } = await deskOf(() => Promise.reject(new TypeError('secret is undefined')));
    expect(await send(app, ACKNOWLEDGE)).toEqual({
      status: 500,
      body: {
        error:
          'REQUEST_FAILED server: got a fault of its own, expected an answer; try again; if it stays, the log of ' +
          'the server says what happened',
      },
    });
    expect(logged.join('')).toContain('secret is undefined');
  });
});

describe('a request from elsewhere', () => {
  it.each([
    ['another site’s page', { origin: 'https://elsewhere.example' }],
    ['a page of no origin', { origin: 'null' }],
    ['a page on another port of this machine', { origin: 'http://127.0.0.1:9999' }],
    [
      'another site, by the browser’s own word',
      { 'sec-fetch-site': 'cross-site', origin: 'http://127.0.0.1:8080' },
    ],
    ['another name of this machine', { 'sec-fetch-site': 'same-site' }],
  ])('changes nothing when it comes from %s', async (_, headers) => {
    const { app, reached } = await deskOf(done);
    const { status, body } = await send(app, ACKNOWLEDGE, headers);
    expect(status).toBe(403);
    expect((body as { error: string }).error).toMatch(/^REQUEST_FOREIGN header Origin: got /);
    expect(reached).toEqual([]);
  });

  it.each([
    ['our own page', { origin: 'http://127.0.0.1:8080' }],
    [
      'our own page through a proxy on this machine',
      { origin: 'http://localhost:5173', 'sec-fetch-site': 'same-origin' },
    ],
    ['a program without a browser', {}],
  ])('is served when it is %s', async (_, headers) => {
    const { app } = await deskOf(done);
    expect((await send(app, ACKNOWLEDGE, headers)).status).toBe(200);
  });
});
