import type { ServerResponse } from 'node:http';
import type { BalanceReport } from '#server/contract/balance-report.ts';
import type { FigureDescription } from '#server/contract/figure-message.ts';
import type { FigureProvenance } from '#server/contract/figure-provenance.ts';
import type { LagReport } from '#server/contract/lag-report.ts';
import type { PlantDescription } from '#server/contract/plant-description.ts';
import { FEED_START_MS } from './fake-records.ts';
import { sendJson } from './serve-pages.ts';

const MINUTE_MS = 60_000;

/** A yield from one scale that is well and one whose error nobody has stated. */
function fakeProvenance(description: FigureDescription): FigureProvenance {
  const common = { stream: null, unit: 'kg/h', because: null, quality: 'good', coveredRatio: 1 } as const;
  const window = { fromMs: FEED_START_MS - 10 * MINUTE_MS, toMs: FEED_START_MS, newestMs: FEED_START_MS };
  return {
    description,
    figure: {
      id: description.id,
      timeMs: FEED_START_MS,
      value: 0.862,
      because: null,
      quality: 'good',
      uncertainty: 0.0031,
      coveredRatio: 1,
      band: null,
    },
    formula: 'clean-over-feed',
    inputs: [
      {
        ...common,
        ...window,
        role: 'feed',
        tag: 'a.intake.running',
        value: 13_240,
        uncertainty: 33,
        error: { toleranceRatio: 0.0025, tolerance: 0, scatterRatio: 0.003, scatter: 6 },
      },
      {
        ...common,
        ...window,
        role: 'clean',
        tag: 'a.destoner.running',
        value: 11_410,
        uncertainty: null,
        error: null,
      },
    ],
    causes: [
      { cause: 'a.intake.running', uncertainty: 0.0022 },
      { cause: 'scatter a.intake.running', uncertainty: 0.0003 },
      { cause: 'lag', uncertainty: 0.0002 },
    ],
  };
}

function fakeBalance(line: string, streams: readonly string[]): BalanceReport {
  const [first = '', ...others] = streams;
  return {
    line,
    fromMs: FEED_START_MS - 20 * MINUTE_MS,
    toMs: FEED_START_MS,
    verdict: 'instrument',
    suspects: [{ stream: first, tag: 'a.intake.running', errorRatio: 0.021, errorRatioUncertainty: 0.006 }],
    sinceMs: FEED_START_MS - 40 * MINUTE_MS,
    closureRatio: 0.021,
    statistic: 49,
    critical: 3.84,
    streams: [
      {
        stream: first,
        tag: 'a.intake.running',
        measuredKgPerH: 13_520,
        reconciledKgPerH: 13_240,
        uncertaintyKgPerH: 40,
        isObservable: true,
      },
      ...others.slice(0, 1).map((stream) => ({
        stream,
        tag: null,
        measuredKgPerH: null,
        reconciledKgPerH: 6,
        uncertaintyKgPerH: 30,
        isObservable: false,
      })),
    ],
  };
}

function fakeLag(line: string, stream: string): LagReport {
  return {
    line,
    stream,
    from: stream,
    verdict: 'disagrees',
    because: null,
    configuredMs: 180_000,
    estimatedMs: 214_000,
    errorMs: 6000,
    correlation: 0.9,
    timeMs: FEED_START_MS,
  };
}

/** Answers what the pages ask about figures, the balance and the lag; false where the address is none of these. */
export function answerFigureStudies(
  plant: PlantDescription,
  pathname: string,
  response: ServerResponse,
): boolean {
  const answer = answerFor(plant, pathname);
  if (answer !== null) sendJson(response, answer);
  return answer !== null;
}

function answerFor(plant: PlantDescription, pathname: string): unknown {
  const [line] = plant.lines;
  const streams = line?.streams.map(({ id }) => id) ?? [];
  const [, id] = /^\/api\/figures\/([^/]+)\/provenance$/.exec(pathname) ?? [];
  const figure = plant.figures.find((one) => one.id === id);
  if (figure !== undefined) return fakeProvenance(figure);
  if (line === undefined) return null;
  if (pathname === '/api/balances') return [fakeBalance(line.id, streams)];
  return pathname === '/api/lags' ? [fakeLag(line.id, streams[0] ?? '')] : null;
}
