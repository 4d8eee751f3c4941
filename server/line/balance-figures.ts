import type { BalancedStream } from '../contract/balance-report.ts';
import type { Stream } from '../contract/line-graph.ts';
import type { Quality } from '../contract/reading.ts';
import { unknownEstimate, type Estimate } from './estimate.ts';
import type { LineContext } from './line-context.ts';
import type { Work } from './seen-amounts.ts';
import { givenInput } from './given-input.ts';

/** A flow below zero by less than this is rounding and scatter. */
const ZERO_KG_PER_H = 1;

/** The rate of a stream that fits all scales and balances best; its own scale is only one voice in it. */
export function reconciledFigure(stream: Stream): Work {
  return ({ balance, trace }) => {
    if (balance === null) return unknownEstimate('window-uncovered');
    if (balance.verdict === 'not-running') return unknownEstimate('line-stopped');
    const found = balance.streams.find((other) => other.stream === stream.id);
    if (found === undefined) return unknownEstimate('not-observable');
    for (const other of balance.streams) trace?.(measuredInput(other.stream, other.measuredKgPerH));
    return reconciledRate(found, balance.verdict === 'fits' ? 'good' : 'uncertain');
  };
}

function reconciledRate(found: BalancedStream, quality: Quality): Estimate {
  const { reconciledKgPerH: value, uncertaintyKgPerH: half } = found;
  if (value === null) return unknownEstimate('not-observable');
  if (value < -ZERO_KG_PER_H) return unknownEstimate('inputs-inconsistent');
  const causes = half === null ? null : [{ cause: 'balance', half }];
  return { known: true, value: Math.max(0, value), quality, coveredRatio: 1, causes };
}

/** By what share of its reading an instrument is wrong: 0 while all fits, unknown while nobody can say which is. */
export function instrumentErrorFigure(stream: Stream): Work {
  return (context) => {
    const { balance } = context;
    if (balance === null) return unknownEstimate('window-uncovered');
    const found = balance.streams.find((other) => other.stream === stream.id);
    switch (balance.verdict) {
      case 'not-running':
        return unknownEstimate('line-stopped');
      case 'no-redundancy':
        return unknownEstimate('not-observable');
      case 'imbalance':
        return unknownEstimate('inputs-inconsistent');
      case 'fits':
        return found?.isObservable === true ? noError() : unknownEstimate('not-observable');
      case 'instrument':
      case 'candidates':
        return suspectedError(context, stream);
    }
  };
}

function suspectedError({ balance }: LineContext, stream: Stream): Estimate {
  const suspects = balance?.suspects ?? [];
  const found = suspects.find((suspect) => suspect.stream === stream.id);
  if (found === undefined) return noError();
  if (suspects.length > 1) return unknownEstimate('inputs-inconsistent');
  const causes = [{ cause: 'balance', half: found.errorRatioUncertainty }];
  return { known: true, value: found.errorRatio, quality: 'good', coveredRatio: 1, causes };
}

function noError(): Estimate {
  return { known: true, value: 0, quality: 'good', coveredRatio: 1, causes: null };
}

function measuredInput(stream: string, value: number | null) {
  const estimate: Estimate =
    value === null
      ? unknownEstimate('not-measured')
      : { known: true, value, quality: 'good', coveredRatio: 1, causes: null };
  return givenInput({ role: 'stream', stream, unit: 'kg/h', takenMs: null }, estimate);
}
