import fc from 'fast-check';
import { pino } from 'pino';
import { Check } from 'typebox/value';
import { describe, expect, it } from 'vitest';
import { CommandRequestSchema, type CommandRequest } from '#server/contract/commands.ts';
import { RefusalSchema } from '#server/contract/refusal.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { mutated, oddText } from '#tests/support/mutations.ts';
import { aHandSample, aLot, aMark } from '#tests/support/record-builders.ts';
import { HERE, appOf } from './http-app.ts';
import { update, webHouse } from './web-fixture.ts';

const ACTOR = { id: 'Ada', role: 'operator' } as const;
const VALID: readonly CommandRequest[] = [
  { actor: ACTOR, command: { kind: 'acknowledge-alarm', alarm: 'line-1.destoner.stopped' } },
  { actor: ACTOR, command: { kind: 'start-lot', lot: aLot() } },
  { actor: ACTOR, command: { kind: 'end-lot', line: 'line-1' } },
  { actor: ACTOR, command: { kind: 'write-mark', mark: aMark() } },
  { actor: ACTOR, command: { kind: 'record-hand-sample', sample: aHandSample() } },
];
const ANSWER_MS_MAX = 2000;
/** What a client may have done wrong. A 500 would be ours. */
const CLIENT_FAULTS = [400, 403, 404, 413, 414, 415, 431];
const FORM = /^[A-Z_]+ .+: got .+, expected .+; .+$/su;

const METHODS = ['GET', 'POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS'] as const;

const ADDRESSES = [
  '/api/plant',
  '/api/now',
  '/api/health',
  '/api/history/thinned',
  '/api/history/raw',
  '/api/history/value-at',
  '/api/alarms',
  '/api/alarms/journal',
  '/api/lots',
  '/api/shifts',
  '/api/marks',
  '/api/hand-samples',
  '/api/openapi.json',
];

interface Asked {
  readonly method?: (typeof METHODS)[number];
  readonly url: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly payload?: string;
}

async function fuzzedApp() {
  const reached: CommandRequest[] = [];
  const logged: string[] = [];
  const samples = memorySampleStore();
  const definition = {
    name: 'a',
    kind: 'tag',
    unit: 'A',
    interpolation: 'linear',
    resolution: 0,
    heldMs: null,
  } as const;
  const ids = await samples.register([definition], 0);
  const series = ids.get('a') ?? 0;
  const house = webHouse({
    samples,
    seriesOf: (name) => (name === 'a' ? { series, unit: 'A', interpolation: 'linear' } : undefined),
    log: pino({ level: 'error' }, { write: (line: string) => void logged.push(line) }),
    desk: {
      carryOut(request) {
        reached.push(request);
        return Promise.resolve({ done: true, recordId: null });
      },
    },
  });
  const recording = { isRecording: true, sinceMs: 0, waitingCount: 0, lostCount: 0, because: null };
  house.newest.take(update({ recording }));
  const app = await appOf(house);

  async function answered(request: Asked) {
    const beganMs = performance.now();
    const answer = await app.inject({ ...request });
    expect(performance.now() - beganMs).toBeLessThan(ANSWER_MS_MAX);
    if (answer.statusCode !== 200) {
      expect(CLIENT_FAULTS).toContain(answer.statusCode);
      const body: unknown = answer.json();
      if (!Check(RefusalSchema, body)) throw new Error(`no refusal: ${answer.body}`);
      expect(body.error).toMatch(FORM);
    }
    expect(logged).toEqual([]);
    return answer;
  }
  return { answered, reached };
}

describe('whatever is asked', () => {
  it('is answered or refused with a reason, within two seconds, when queries are odd', async () => {
    const { answered } = await fuzzedApp();
    const name = fc.constantFrom('series', 'fromMs', 'toMs', 'buckets', 'timeMs', '__proto__', 'x');
    const value = fc.oneof(fc.constantFrom('a', '0', '1', '1000', '86400000', '-5', '1.5'), oddText);
    const query = fc.array(fc.tuple(name, value), { maxLength: 8 });
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...ADDRESSES), query, fc.boolean(), async (address, pairs, isRaw) => {
        const written = pairs.map(
          ([key, text]) => `${key}=${isRaw ? latin(text) : encodeURIComponent(text.toWellFormed())}`,
        );
        await answered({ url: `${address}?${written.join('&')}`, headers: HERE });
      }),
      { numRuns: 600 },
    );
  });

  it('is answered or refused with a reason when the address or the method is odd', async () => {
    const { answered } = await fuzzedApp();
    const method = fc.constantFrom(...METHODS);
    await fc.assert(
      fc.asyncProperty(method, fc.array(oddText, { maxLength: 4 }), async (asked, parts) => {
        const url = `/api/${parts.map((part) => encodeURIComponent(part.toWellFormed())).join('/')}`;
        await answered({ method: asked, url, headers: HERE });
      }),
      { numRuns: 300 },
    );
  });

  it('reaches the desk only when it is a command, whatever the body', async () => {
    const { answered, reached } = await fuzzedApp();
    const valid = fc.constantFrom(...VALID);
    const body = fc.oneof(
      { weight: 6, arbitrary: mutated(valid).map((value) => JSON.stringify(value)) },
      fc.json(),
      oddText,
      valid.map((value) => JSON.stringify(value).slice(1)),
    );
    const type = fc.oneof(
      { weight: 5, arbitrary: fc.constantFrom('application/json', 'application/json; charset=utf-8') },
      fc.constantFrom('text/plain', '', 'a/b/c'),
    );
    let acceptedCount = 0;
    await fc.assert(
      fc.asyncProperty(body, type, async (payload, contentType) => {
        const before = reached.length;
        const headers = { ...HERE, 'content-type': contentType };
        const { statusCode } = await answered({ method: 'POST', url: '/api/commands', headers, payload });
        expect(reached.length - before).toBe(statusCode === 200 ? 1 : 0);
        if (statusCode !== 200) return;
        acceptedCount += 1;
        expect(Check(CommandRequestSchema, reached.at(-1))).toBe(true);
      }),
      { numRuns: 1000 },
    );
    // Some changes leave a command a command, such as another text; were there none, nothing would have been tried.
    expect(acceptedCount).toBeGreaterThan(20);
    expect(acceptedCount).toBeLessThan(700);
  });
});

/** As a careless program writes it, but so that it still fits on a request line. */
function latin(text: string): string {
  return text.replace(/[^\x21-\x7e]|[&#=]/gu, '');
}
